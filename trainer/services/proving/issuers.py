"""Whose signatures this installation believes: the list issuers.toml, and who decided what about it.

The file is the list: the command, the page without an account and the self-contained page all read it. Every
change made on a page is noted with its reason. On its page a house sees what stands in the file, and what it put
there itself, not what another house of this installation put there. Own records would come out as of an unknown issuer, so the own
key is put on the list where it is made.
"""

from __future__ import annotations

import threading
from collections.abc import Sequence
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer import private_files
from trainer.errors import Conflict, NotAllowed, NotFound, Refused, Unreadable
from trainer.languages import _
from trainer.records import issuers as pinning
from trainer.records.issuers import Issuer
from trainer.services.admitting import entitlements
from trainer.services.keeping import audit
from trainer.store.models import Person, PinnedIssuer

FILE = "issuers.toml"
OWN_NAME = "This installation"
MOST_BYTES = 1_000_000
MOST_REASON = 200
_turn = threading.Lock()


def pinned(instance: Path) -> tuple[Issuer, ...]:
    """The issuers on the list. Raises Unreadable, naming the line, for a file that cannot be read."""
    try:
        with (instance / FILE).open("rb") as opened:
            data = opened.read(MOST_BYTES + 1)
    except FileNotFoundError:
        return ()
    if len(data) > MOST_BYTES:
        raise Unreadable(_("%(file)s is larger than 1 MB; it is no list of issuers.", file=FILE))
    try:
        return pinning.read(data.decode("utf-8"), FILE)
    except UnicodeDecodeError:
        raise Unreadable(
            _("%(file)s is not UTF-8 text; write the list of issuers as UTF-8.", file=FILE)
        ) from None


def ensure_own(instance: Path, did: str, name: str = OWN_NAME) -> None:
    """Put the own key on the list if it is missing, and give it the house's name once there is one."""
    with _turn:
        held = pinned(instance)
        own = pinning.find(held, did)
        if own is None:
            _write(instance, (*held, Issuer(did, name)))
        elif own.name == OWN_NAME != name:
            _write(instance, tuple(replace(one, name=name) if one.did == did else one for one in held))


def of_house(session: Session, instance: Path, by_id: int) -> tuple[Issuer, ...]:
    """The issuers that the asker's house believes: the list without what only other houses put on it."""
    elsewhere = _elsewhere(session, session.get_one(Person, by_id).organisation_id)
    return tuple(one for one in pinned(instance) if one.did not in elsewhere)


def pin(
    session: Session,
    instance: Path,
    by_id: int,
    did: str,
    name: str,
    reason: str,
    now: datetime,
    *,
    beside_only: bool = False,
) -> None:
    """Put a key on the list, that of a signer beside an issuer with ``beside_only``. Raises Unreadable for what is no key, Refused, Conflict if it is on it."""
    home, why = _employer(session, by_id), _reason(reason)
    wanted = Issuer("".join(did.split()), " ".join(name.split()), beside_only=beside_only)
    with _turn:
        held = pinned(instance)
        known = pinning.find(held, wanted.did)
        if known and wanted.did not in _elsewhere(session, home):
            raise Conflict(_("This key is on your list already."))
        if known and known.beside_only != beside_only:
            raise Conflict(_("Another house of this installation believes this key otherwise. Ask it first."))
        if known is None:
            _write(instance, (*held, wanted))
    _keep(session, home, known or wanted, by_id, now)
    kind = "signer" if beside_only else "issuer"
    facts: dict[str, str | int | None] = {"name": wanted.name, "reason": why, "kind": kind}
    audit.note(session, by_id, "issuer pinned", wanted.did, now, facts=facts)


def unpin(
    session: Session,
    instance: Path,
    by_id: int,
    did: str,
    own: str,
    reason: str,
    until: date | None,
    now: datetime,
) -> None:
    """Take a key off the list, or (with ``until``) believe it up to that day only.

    A key that another house believes too stays in the file for them; a last good day holds for all houses.
    Raises NotFound, Refused for the own key (``own``) and for a missing reason.
    """
    home, why = _employer(session, by_id), _reason(reason)
    with _turn:
        held = pinned(instance)
        found = pinning.find(held, did)
        if found is None or did in _elsewhere(session, home):
            raise NotFound(_("There is no such key on your list."))
        if did == own and until is None:
            raise Refused(
                _("With this key your own installation signs. Without it your own records are not known.")
            )
        shared = _believed(session, home, did)
        if until or not shared:
            kept = [one for one in held if one.did != did]
            limited = [replace(found, valid_to=until)] if until else []
            _write(instance, (*kept, *limited))
    for row in session.scalars(select(PinnedIssuer).where(PinnedIssuer.did == did)):
        if until:
            row.valid_to = until
        elif row.organisation_id == home:
            row.dropped_at = now
    facts: dict[str, str | int | None] = {"reason": why, "until": until.isoformat() if until else None}
    audit.note(session, by_id, "issuer limited" if until else "issuer unpinned", did, now, facts=facts)


def accept(session: Session, instance: Path, by_id: int, data: bytes, now: datetime) -> Issuer:
    """Take up the key that a pinned key introduces. Raises Unreadable, Refused as the records room does."""
    home = _employer(session, by_id)
    with _turn:
        mine = of_house(session, instance, by_id)
        kept = pinning.accept(mine, data)
        new = kept[-1]
        others = [one for one in pinned(instance) if one not in mine and one.did != new.did]
        _write(instance, (*others, *kept))
    _keep(session, home, new, by_id, now)
    facts: dict[str, str | int | None] = {"name": new.name, "introduced_by": new.introduced_by}
    audit.note(session, by_id, "issuer introduced", new.did, now, facts=facts)
    return new


def earlier_keys(instance: Path, did: str) -> tuple[str, ...]:
    """The keys that this key follows, newest first, as the list has them introduced."""
    return pinning.line(pinned(instance), did)[1:]


def introduce_own(instance: Path, introduction: bytes) -> None:
    """Take the next key of this installation up, as its present key introduces it. Raises as ``accept`` does."""
    with _turn:
        _write(instance, pinning.accept(pinned(instance), introduction))


def decisions(session: Session, by_id: int) -> dict[str, tuple[datetime, str]]:
    """When each key was put on the list by a page of the asker's house, and by whom."""
    home = session.get_one(Person, by_id).organisation_id
    wanted = select(PinnedIssuer, Person.name).join(Person, Person.id == PinnedIssuer.pinned_by_id)
    wanted = wanted.where(PinnedIssuer.organisation_id == home)
    return {row.did: (row.pinned_at, name) for row, name in session.execute(wanted.order_by(PinnedIssuer.id))}


def _elsewhere(session: Session, home: int) -> set[str]:
    """The keys that only other houses of this installation have put on the list."""
    wanted = select(PinnedIssuer.did, PinnedIssuer.organisation_id).where(PinnedIssuer.dropped_at.is_(None))
    rows = session.execute(wanted).all()
    return {row.did for row in rows} - {row.did for row in rows if row.organisation_id == home}


def _believed(session: Session, home: int, did: str) -> bool:
    """Whether another house has put this key on the list too."""
    wanted = select(PinnedIssuer.id).where(
        PinnedIssuer.did == did, PinnedIssuer.organisation_id != home, PinnedIssuer.dropped_at.is_(None)
    )
    return session.scalar(wanted.limit(1)) is not None


def _employer(session: Session, by_id: int) -> int:
    person = session.get_one(Person, by_id)
    if "employer" not in entitlements.roles_of(session, by_id):
        raise NotAllowed(_("Only an employer decides whose signatures are believed."))
    return person.organisation_id


def _reason(text: str) -> str:
    reason = " ".join(text.split())
    if not reason:
        raise Refused(_("Say in a few words how you know, for instance: key compared on the telephone."))
    if len(reason) > MOST_REASON:
        raise Refused(_("Write the reason in at most %(most)s characters.", most=MOST_REASON))
    return reason


def _keep(session: Session, home: int, issuer: Issuer, by_id: int, now: datetime) -> None:
    found = session.scalar(
        select(PinnedIssuer).where(PinnedIssuer.organisation_id == home, PinnedIssuer.did == issuer.did)
    )
    row = found or PinnedIssuer(organisation_id=home, did=issuer.did)
    row.name, row.valid_from, row.valid_to = issuer.name, issuer.valid_from, issuer.valid_to
    row.introduced_by, row.pinned_by_id, row.pinned_at, row.dropped_at = (
        issuer.introduced_by,
        by_id,
        now,
        None,
    )
    session.add(row)


def _write(instance: Path, issuers: Sequence[Issuer]) -> None:
    """Replace the list as a whole, so that no half of it is ever read."""
    private_files.replace(instance / FILE, pinning.write(issuers).encode("utf-8"))
