"""The issuers that an employer has pinned: whose signatures it accepts, and for which days.

A did:key can be neither changed nor revoked, so trust lives in this list. A new key is introduced by a document
that both the old and the new key sign; records of the old key stay verifiable for the days it was in use.
A lost key introduces nothing: then the employer pins the new key by hand, after asking by another way.
"""

from __future__ import annotations

import tomllib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any

from trainer.errors import Refused, Unreadable
from trainer.languages import _
from trainer.records import jcs, keys, proof
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey

MAX_ISSUERS = 1000
VC_CONTEXT = "https://www.w3.org/ns/credentials/v2"
INTRODUCTION = "KeyIntroduction"


@dataclass(frozen=True, slots=True)
class Issuer:
    """One key that is trusted; both days are inclusive, None means without limit.

    With ``beside_only`` it is the key of a person whose signature counts beside an issuer's: nothing that it
    issues itself is believed, or whoever signs for a house could write its records alone.
    """

    did: str
    name: str
    valid_from: date | None = None
    valid_to: date | None = None
    introduced_by: str | None = None
    beside_only: bool = False

    def __post_init__(self) -> None:
        keys.public_of(self.did)
        if not self.name.strip() or len(self.name) > 200:
            raise Refused(_("Give each issuer a name of 1 to 200 characters."))
        if self.introduced_by is not None:
            keys.public_of(self.introduced_by)
        if self.valid_from and self.valid_to and self.valid_from > self.valid_to:
            raise Refused(
                _("The issuer %(name)s ends before it begins; check valid_from and valid_to.", name=self.name)
            )

    def was_in_use(self, day: date) -> bool:
        """Say whether the key was this issuer's on the day."""
        return (self.valid_from is None or self.valid_from <= day) and (
            self.valid_to is None or day <= self.valid_to
        )


def find(issuers: Sequence[Issuer], did: str) -> Issuer | None:
    """The pinned issuer with this key, or None."""
    return next((one for one in issuers if one.did == did), None)


def speaks_for(issuers: Sequence[Issuer], signer: str, did: str) -> bool:
    """Say whether ``signer`` is the key ``did`` or a pinned key that it introduced, directly or in steps."""
    return did in line(issuers, signer)


def line(issuers: Sequence[Issuer], did: str) -> tuple[str, ...]:
    """The key ``did`` and those before it, each having introduced the one before: newest first."""
    found = [did]
    while (issuer := find(issuers, found[-1])) and issuer.introduced_by not in (None, *found):
        found.append(str(issuer.introduced_by))
    return tuple(found)


def read(text: str, file: str = "issuers.toml") -> tuple[Issuer, ...]:
    """Read the pinned issuers from TOML: tables [[issuer]] with did, name, valid_from, valid_to, introduced_by, beside_only.

    Raises Unreadable naming the file and the issuer that is wrong.
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as fault:
        raise Unreadable(_("%(file)s is not TOML: %(fault)s.", file=file, fault=fault)) from None
    tables = data.get("issuer", [])
    if set(data) - {"issuer"} or not isinstance(tables, list) or len(tables) > MAX_ISSUERS:
        raise Unreadable(
            _(
                "%(file)s: write each issuer as a table that begins with [[issuer]], and nothing else.",
                file=file,
            )
        )
    issuers: list[Issuer] = []
    for number, table in enumerate(tables, start=1):
        issuer = _issuer(table, _("%(file)s: issuer %(number)s", file=file, number=number))
        if find(issuers, issuer.did):
            raise Unreadable(
                _(
                    "%(file)s: issuer %(number)s: this did stands in the list twice; keep one.",
                    file=file,
                    number=number,
                )
            )
        issuers.append(issuer)
    return tuple(issuers)


def write(issuers: Sequence[Issuer]) -> str:
    """Write the list as TOML that ``read`` reads back to the same list."""
    parts = ["# The issuers whose signatures are accepted here. One table each.\n"]
    for one in issuers:
        lines = ["[[issuer]]", f"did = {_quoted(one.did)}", f"name = {_quoted(one.name)}"]
        if one.valid_from:
            lines.append(f"valid_from = {one.valid_from.isoformat()}")
        if one.valid_to:
            lines.append(f"valid_to = {one.valid_to.isoformat()}")
        if one.introduced_by:
            lines.append(f"introduced_by = {_quoted(one.introduced_by)}")
        if one.beside_only:
            lines.append("beside_only = true")
        parts.append("\n".join(lines) + "\n")
    return "\n".join(parts)


def introduction(old: SigningKey, new: SigningKey, name: str, document_id: str, time: str) -> dict[str, Json]:
    """The document by which the old key introduces the new one, signed by both.

    ``document_id`` is a urn:uuid, ``time`` such as 2026-03-02T09:15:00Z; the new key is in use from that day.
    """
    document: dict[str, Json] = {
        "@context": [VC_CONTEXT],
        "id": document_id,
        "type": ["VerifiableCredential", INTRODUCTION],
        "issuer": {"id": old.did, "type": ["Profile"], "name": name},
        "validFrom": time,
        "credentialSubject": {"id": new.did, "type": ["Profile"], "name": name},
    }
    return proof.sign(proof.sign(document, old, time), new, time)


def accept(issuers: Sequence[Issuer], data: bytes) -> tuple[Issuer, ...]:
    """Take up the key that an introduction names; return the new list.

    The old key stays on the list for the records it signed, up to the day of the introduction. Raises
    Unreadable for another kind of file, Refused if the introduction cannot be relied on.
    """
    document = jcs.parse(data)
    old_did, new_did, name, day = _introduced(document)
    try:
        signers = [one.signer for one in proof.signatures(document)]
    except proof.NotGenuine as fault:
        raise Refused(_("The introduction cannot be relied on. %(fault)s", fault=fault)) from None
    old = find(issuers, old_did)
    if old is None or not old.was_in_use(day):
        raise Refused(
            _("The key that introduces the new one is not on your list for that day; nothing was changed.")
        )
    if signers != [old_did, new_did]:
        raise Refused(
            _("An introduction must be signed by the old key and then by the new key; this one is not.")
        )
    if find(issuers, new_did):
        raise Refused(_("The new key is on your list already; nothing was changed."))
    kept = [replace(one, valid_to=day) if one.did == old_did else one for one in issuers]
    return (*kept, Issuer(new_did, name, day, introduced_by=old_did, beside_only=old.beside_only))


def _introduced(document: Json) -> tuple[str, str, str, date]:
    try:
        if INTRODUCTION not in document["type"]:
            raise KeyError(INTRODUCTION)
        subject = document["credentialSubject"]
        day = date.fromisoformat(document["validFrom"][:10])
        found = (document["issuer"]["id"], subject["id"], subject["name"])
    except (KeyError, TypeError, ValueError):
        raise Unreadable(_("The file is not the introduction of a new key.")) from None
    if not all(isinstance(one, str) for one in found):
        raise Unreadable(_("The file is not the introduction of a new key."))
    return (*found, day)


def _issuer(table: Any, place: str) -> Issuer:
    if not isinstance(table, dict):
        raise Unreadable(_("%(place)s: write it as a table that begins with [[issuer]].", place=place))
    strange = sorted(set(table) - {"did", "name", "valid_from", "valid_to", "introduced_by", "beside_only"})
    if strange:
        raise Unreadable(
            _(
                "%(place)s: %(strange)s is not a key of an issuer; take it out.",
                place=place,
                strange=repr(strange[0]),
            )
        )
    for key in ("did", "name"):
        if not isinstance(table.get(key), str):
            raise Unreadable(_("%(place)s: write %(key)s as text in quotation marks.", place=place, key=key))
    introduced_by = table.get("introduced_by")
    if not isinstance(introduced_by, str | None):
        raise Unreadable(_("%(place)s: write introduced_by as text in quotation marks.", place=place))
    beside_only = table.get("beside_only", False)
    if not isinstance(beside_only, bool):
        raise Unreadable(_("%(place)s: write beside_only as true or false.", place=place))
    days = [_day(table, key, place) for key in ("valid_from", "valid_to")]
    try:
        return Issuer(table["did"], table["name"], days[0], days[1], introduced_by, beside_only)
    except (Refused, Unreadable) as fault:
        raise Unreadable(f"{place}: {fault}") from None


def _day(table: dict[str, Any], key: str, place: str) -> date | None:
    value = table.get(key)
    if value is None:
        return None
    if type(value) is not date:
        raise Unreadable(
            _(
                "%(place)s: write %(key)s as a day without quotation marks, such as 2026-03-02.",
                place=place,
                key=key,
            )
        )
    return value


def _quoted(text: str) -> str:
    """A TOML basic string: what must be escaped is escaped."""
    shown = text.replace("\\", "\\\\").replace('"', '\\"')
    return '"' + "".join(f"\\u{ord(c):04X}" if ord(c) < 32 or ord(c) == 127 else c for c in shown) + '"'
