"""The signed record: property names of W3C VC 2.0 and Open Badges 3.0, signed with eddsa-jcs-2022.

Source: the class list of Open Badges 3.0 (seen; checked by tests/sources/vectors/ob3-subset.json, whose schema is
ours). No conformance with Open Badges is claimed: its certification lists other signature suites. Members of our
own (entry, ledgerHead, verdict, until, clause, signers) stand beside the standard ones and are signed with them.
"""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from uuid import NAMESPACE_URL, uuid5

from trainer.errors import Refused
from trainer.languages import _
from trainer.records import jcs, proof, signers
from trainer.records.issuers import VC_CONTEXT
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey
from trainer.records.record import (
    NO_CERTIFICATE,
    SAYS_VERDICT,
    Inclusion,
    Record,
    Row,
    entry_days,
    entry_facts,
    entry_hands,
    headline,
    plain,
)

OB_CONTEXT = "https://purl.imsglobal.org/spec/ob/v3p0/context-3.0.3.json"
_STATUS = {"met": "Completed", "not_met": "InProgress", "expired": "InProgress"}


def signed(record: Record, key: SigningKey, created: str) -> bytes:
    """The record as a signed file: UTF-8 JSON, ready to hand out.

    ``created`` is the time of signing as 2026-03-02T09:15:00Z. Raises Refused if the key is not the issuer's
    or the record is too large to be verified.
    """
    if key.did != record.issuer_did:
        raise Refused("The record names another issuer than the key that would sign it.")
    data = jcs.written(proof.sign(build(record), key, created))
    if len(data) > jcs.MAX_BYTES:
        raise Refused(
            _("The record is too large to be verified elsewhere; leave out entries of other methods.")
        )
    return data


def build(record: Record) -> dict[str, Json]:
    """The record as an unsigned document."""
    document: dict[str, Json] = {
        "@context": [VC_CONTEXT, OB_CONTEXT],
        "id": record.id,
        "type": ["VerifiableCredential", "OpenBadgeCredential"],
        "issuer": {"id": record.issuer_did, "type": ["Profile"], "name": record.issuer_name},
        "validFrom": _begin(record.on),
        "name": f"Record of qualification facts, {record.method} Level {record.level}",
        "description": f"{headline(record)} {NO_CERTIFICATE}",
        "credentialSubject": _subject(record),
        "evidence": _evidence(record),
    }
    if record.valid_until:
        document["validUntil"] = _end(record.valid_until)
    if record.signers:
        document["signers"] = signers.member(record.signers)
    if record.status:
        places = [place.entry() for place in record.status]
        document["credentialStatus"] = places[0] if len(places) == 1 else places
    return document


def entries_in(document: Mapping[str, Json]) -> list[dict[str, Json]]:
    """The ledger entries that a record carries, in their order, for taking over as evidence elsewhere.

    Call it on a verified document only.
    """
    evidence = document.get("evidence")
    items = evidence if isinstance(evidence, list) else []
    found = [item.get("entry") for item in items if isinstance(item, dict)]
    return [entry for entry in found if isinstance(entry, dict)]


def _subject(record: Record) -> dict[str, Json]:
    return {
        "type": ["AchievementSubject"],
        "identifier": _identifiers(record),
        "role": f"Level {record.level}",
        "achievement": {
            "id": _urn(record, "achievement"),
            "type": ["Achievement"],
            "achievementType": "ext:QualificationFacts",
            "name": f"Prerequisites for {record.method} Level {record.level}, {record.scheme_title}",
            "description": headline(record),
            "specialization": record.method,
            "version": record.written_practice or record.scheme,
            "criteria": {"narrative": f"The prerequisites of {record.scheme_title}. {NO_CERTIFICATE}"},
            "resultDescription": [_description(record, row) for row in record.rows],
        },
        "scheme": record.scheme,
        "on": record.on.isoformat(),
        "overall": record.overall,
        "result": [_result(record, row) for row in record.rows],
    }


def _identifiers(record: Record) -> list[Json]:
    named = [("identifier", record.person.id), ("name", record.person.name)]
    return [
        {"type": "IdentityObject", "hashed": False, "identityHash": value, "identityType": kind}
        for kind, value in named
        if value
    ]


def _description(record: Record, row: Row) -> dict[str, Json]:
    described: dict[str, Json] = {
        "id": _urn(record, f"row {row.id}"),
        "type": ["ResultDescription"],
        "name": row.title,
        "resultType": _result_type(row),
        "prerequisite": row.id,
        "clause": row.clause,
    }
    if row.need is not None:
        described["requiredValue"] = plain(row.need)
    if row.unit:
        described["unit"] = row.unit
    return described


def _result(record: Record, row: Row) -> dict[str, Json]:
    return {
        "type": ["Result"],
        "resultDescription": _urn(record, f"row {row.id}"),
        "value": SAYS_VERDICT[row.verdict] if row.have is None else plain(row.have),
        "status": _STATUS[row.verdict],
        "verdict": row.verdict,
        "until": plain(row.until),
        "says": row.says,
    }


def _result_type(row: Row) -> str:
    if row.have is None and row.need is None:
        return "Status"
    return "Percent" if row.unit == "pct" else "RawScore"


def _evidence(record: Record) -> list[Json]:
    items: list[Json] = [_entry(record, entry) for entry in record.entries]
    if record.head:
        head = record.head
        items.append(
            {
                "id": _urn(record, "ledger head"),
                "type": ["Evidence"],
                "name": "Head of the ledger",
                "narrative": f"The ledger had {head.size} links on {head.time}. Two exports can be compared by "
                "these figures.",
                "ledgerHead": {"size": head.size, "last": head.last, "root": head.root, "time": head.time},
            }
        )
    return items


def _entry(record: Record, entry: Mapping[str, object]) -> dict[str, Json]:
    entry_id, kind = str(entry["id"]), str(entry["kind"])
    item: dict[str, Json] = {
        "id": _urn(record, f"entry {entry_id}"),
        "type": ["Evidence"],
        "name": f"{kind.capitalize()}, {entry_days(entry)}",
        "genre": kind,
        "narrative": f"{entry_facts(entry)}; {entry_hands(entry)}",
        "entry": plain(entry),
    }
    inclusion = record.inclusions.get(entry_id)
    if inclusion:
        item["inclusion"] = _inclusion(inclusion)
    return item


def _inclusion(inclusion: Inclusion) -> dict[str, Json]:
    return {"index": inclusion.index, "proof": [step.hex() for step in inclusion.proof]}


def _urn(record: Record, part: str) -> str:
    """A name for a part of the record that is the same whenever the record is built."""
    return f"urn:uuid:{uuid5(NAMESPACE_URL, f'{record.id}#{part}')}"


def _begin(day: date) -> str:
    return f"{day.isoformat()}T00:00:00Z"


def _end(day: date) -> str:
    return f"{day.isoformat()}T23:59:59Z"
