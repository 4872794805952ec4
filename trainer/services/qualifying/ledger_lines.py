"""Ledger entries with the people and acts around them, ready to be read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from sqlalchemy import select
from sqlalchemy.orm import Session, selectinload

from trainer.languages import N_, _
from trainer.qualification.counting import in_words
from trainer.services.admitting import entitlements
from trainer.services.qualifying import countersigning
from trainer.store.models import Countersignature, Entry, Person


@dataclass(frozen=True, slots=True)
class Line:
    """One entry with its hands. ``reversal`` is what reverses it, signed or not; ``target`` what it reverses."""

    entry: Entry
    person: Person
    entered_by: Person
    signed: Countersignature | None
    signed_by: Person | None
    reversal: Entry | None
    target: Entry | None

    @property
    def kind(self) -> str:
        """The kind whose rules decide who may countersign."""
        return self.target.kind if self.target is not None else self.entry.kind

    @property
    def state(self) -> str:
        """How the entry stands: counts, waits, refused, reversed, reversal waits, kept; in English, as a key."""
        if self.reversal is not None:
            if self.signed is None:
                return (
                    N_("refused")
                    if self.reversal.entered_by_id != self.entry.entered_by_id
                    else N_("taken back")
                )
            return N_("reversed") if self.reversal.countersignatures else N_("reversal waits")
        if not entitlements.signing_roles(self.kind):
            return N_("kept, never counts")
        if self.target is not None and not self.target.countersignatures:
            return N_("kept")
        return N_("counts") if self.signed is not None else N_("waits")

    @property
    def signers(self) -> str:
        """Who may countersign it, in words."""
        roles = entitlements.signing_roles(self.kind) & entitlements.OVERSEEING
        return in_words(roles) if roles else _("nobody")


def lines(session: Session, entries: Iterable[Entry]) -> list[Line]:
    """Each entry with its people, in the same order."""
    rows = list(entries)
    undone = countersigning.reversals_by_target(session, {row.person_id for row in rows})
    names = [str(row.body["reverses"]) for row in rows if row.kind == "reversal"]
    wanted = select(Entry).where(Entry.id.in_(names)).options(selectinload(Entry.countersignatures))
    targets = {row.id: row for row in session.scalars(wanted)}
    people = _people(session, rows)
    return [_line(row, people, undone, targets) for row in rows]


def _people(session: Session, rows: list[Entry]) -> dict[int, Person]:
    ids = {one for row in rows for one in (row.person_id, row.entered_by_id)}
    ids |= {signed.person_id for row in rows for signed in row.countersignatures}
    return {person.id: person for person in session.scalars(select(Person).where(Person.id.in_(ids)))}


def _line(row: Entry, people: dict[int, Person], undone: dict[str, Entry], targets: dict[str, Entry]) -> Line:
    signed = row.countersignatures[0] if row.countersignatures else None
    return Line(
        entry=row,
        person=people[row.person_id],
        entered_by=people[row.entered_by_id],
        signed=signed,
        signed_by=people[signed.person_id] if signed else None,
        reversal=undone.get(row.id),
        target=targets.get(str(row.body.get("reverses"))) if row.kind == "reversal" else None,
    )
