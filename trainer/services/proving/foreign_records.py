"""Take over the entries of a signed record that another installation gave out, as entries to be countersigned.

The record must be genuine and of an issuer on the list. What it says was countersigned there counts for
nothing here: somebody entitled in this house vouches for each entry anew, with the record at hand as evidence.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy.orm import Session

from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import _
from trainer.records import jcs
from trainer.records.claims import record_in
from trainer.records.credential import entries_in
from trainer.records.issuers import Issuer
from trainer.records.verification import Verdict, verify
from trainer.services.admitting import entitlements
from trainer.services.keeping.moments import local_day
from trainer.services.qualifying import earlier_records, entry_plans, evidence, ledger
from trainer.services.qualifying.entry_plans import Page, Planned
from trainer.store.models import Entry

# A record that has run out is still what its issuer signed; its entries are facts of the past.
GENUINE = frozenset({Verdict.VALID, Verdict.EXPIRED})
HANDS = frozenset({"id", "kind", "entered_by", "countersigned_by", "previous", "hash"})
REFERENCES = ("remedial_for", "about")
MOST_ENTRIES = 1_000


@dataclass(frozen=True, slots=True)
class Foreign:
    """A genuine record of elsewhere: the record itself as text, who issued it, whom it names, its entries."""

    record: str
    issuer: str
    subject: str
    entries: tuple[Mapping[str, Any], ...]


@dataclass(frozen=True, slots=True)
class Preview:
    """What taking the record over would enter, and each entry that is left out with the reason."""

    planned: tuple[Planned, ...]
    left_out: tuple[tuple[str, str], ...]


def read(data: bytes, issuers: Sequence[Issuer], now: datetime) -> Foreign:
    """Verify a record (JSON, or the certificate with it inside) and read it.

    Raises Refused with the reasons for one that is not genuine or whose issuer is not on the list.
    """
    found = verify(data, issuers, local_day(now))
    if found.verdict not in GENUINE:
        raise Refused(
            _(
                "This file cannot be taken over: %(verdict)s. %(reasons)s",
                verdict=_(found.verdict.value),
                reasons=" ".join(found.reasons),
            )
        )
    record = record_in(data)
    document = jcs.parse(record)
    entries = tuple(entries_in(document))
    if len(entries) > MOST_ENTRIES:
        raise Refused(
            _(
                "The record holds more than %(most)s entries. Ask for it in parts.",
                most=MOST_ENTRIES,
            )
        )
    name = found.issuer_name or str(found.issuer)
    return Foreign(record.decode("utf-8"), name, found.subject or _("nobody by name"), entries)


def check(
    session: Session,
    by_id: int,
    person_id: int,
    foreign: Foreign,
    now: datetime,
    schemes: Collection[str],
) -> Preview:
    """Look at every entry of the record; nothing is written. Raises NotFound for somebody else's person."""
    entitlements.overseen(session, by_id, person_id)
    page, seq = Page.of(session, person_id), entry_plans.next_seq(session)
    reversed_there = {str(entry.get("reverses")) for entry in foreign.entries}
    names: dict[str, str] = {}
    planned: list[Planned] = []
    left_out: list[tuple[str, str]] = []
    for entry in foreign.entries:
        name, kind = str(entry.get("id")), str(entry.get("kind"))
        if kind == "reversal" or name in reversed_there:
            left_out.append((name, _("It was reversed there, or reverses another.")))
            continue
        try:
            role = earlier_records.role_for(session, by_id, kind)
            ledger.may_enter(session, person_id, kind, by_id, role)
            body = _body(entry, foreign, names)
            one = page.plan(kind, body, by_id, role, seq + len(planned), now, schemes)
        except (Refused, Conflict, NotAllowed, NotFound) as fault:
            left_out.append((name, earlier_records.says(fault)))
            continue
        names[name] = one.fact.id
        planned.append(one)
    return Preview(tuple(planned), tuple(left_out))


def take(
    session: Session,
    by_id: int,
    person_id: int,
    foreign: Foreign,
    now: datetime,
    schemes: Collection[str],
) -> list[Entry]:
    """Enter what can be entered; the record itself is attached to the first entry. Raises as check, Refused."""
    preview = check(session, by_id, person_id, foreign, now, schemes)
    if not preview.planned:
        raise Refused(_("Nothing of this record can be taken over."))
    rows = [ledger.write(session, one, now) for one in preview.planned]
    evidence.attach(session, rows[0].id, by_id, "signed record.json", foreign.record.encode("utf-8"), now)
    return rows


def _body(entry: Mapping[str, Any], foreign: Foreign, names: Mapping[str, str]) -> dict[str, Any]:
    """The facts of an entry without its hands, with what tells where it comes from."""
    body = {name: value for name, value in entry.items() if name not in HANDS}
    for name in REFERENCES:
        if isinstance(body.get(name), list):
            body[name] = [names.get(str(one), str(one)) for one in body[name]]
        elif name in body:
            body[name] = names.get(str(body[name]), str(body[name]))
    told = f"signed record of {foreign.issuer}, entry {entry.get('id')}"
    hand = entry.get("countersigned_by")
    if isinstance(hand, Mapping):
        told += f", countersigned there by {hand.get('person')} ({hand.get('role')})"
    body["evidence"] = f"{body['evidence']}; {told}" if body.get("evidence") else told
    return body
