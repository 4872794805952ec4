"""Packs of the shop: kept, changed by a new row, retired; another shop's pack is no pack."""

from __future__ import annotations

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.make import NOW, People, make_people
from trainer.errors import Conflict, NotFound, Refused
from trainer.services.teaching import packs
from trainer.shopwork.pack import Pack as Plate
from trainer.store.models import Link, Pack

VALUES = {"rated": 3600.0, "duty": 0.25, "period": 240.0}
LEADS = {"distance": 10.0}


@pytest.fixture
def people(session: Session) -> People:
    """The four, entered."""
    return make_people(session)


def plate(name: str = "Pack A", rated: float = 3600.0) -> Plate:
    """A pack with leads."""
    return Plate(name, {**VALUES, **LEADS, "rated": rated}, "4/0 AWG")


def test_a_pack_is_kept_as_it_was_written(session: Session, people: People) -> None:
    """What is read back is what was written down, to the digit."""
    made = packs.add(session, people.ian, plate(), NOW)
    assert packs.plate_of(made) == plate()
    assert [one.name for one in packs.packs_of(session, people.tess)] == ["Pack A"]


def test_a_pack_without_leads(session: Session, people: People) -> None:
    """Leads may be unknown, but not half known."""
    bare = Plate("Pack B", dict(VALUES))
    assert packs.plate_of(packs.add(session, people.ian, bare, NOW)) == bare
    for half in (Plate("C", {**VALUES, **LEADS}), Plate("C", dict(VALUES), "95 mm2")):
        with pytest.raises(Refused, match="size and length"):
            packs.add(session, people.ian, half, NOW)


def test_a_change_leaves_the_old_row(session: Session, people: People) -> None:
    """The pack as it was stays, with who retired it and when; the list shows the new one alone."""
    before = packs.add(session, people.ian, plate(), NOW)
    after = packs.change(session, people.ian, before.id, plate(rated=3000.0), NOW)
    assert (before.rated, before.retired_by_id, before.retired_at) == (3600, people.ian, NOW)
    assert packs.packs_of(session, people.ian) == [after]
    assert packs.retired_of(session, people.ian) == [before]
    session.flush()
    notes = [link.event["what"] for link in session.scalars(select(Link).order_by(Link.seq))]
    assert notes[-2:] == ["pack added", "pack changed"]


def test_a_retired_pack_is_gone_from_the_list(session: Session, people: People) -> None:
    """It can be neither chosen nor changed nor retired again, and its name is free."""
    made = packs.add(session, people.ian, plate(), NOW)
    packs.retire(session, people.ian, made.id, NOW)
    with pytest.raises(NotFound):
        packs.retire(session, people.ian, made.id, NOW)
    with pytest.raises(NotFound):
        packs.change(session, people.ian, made.id, plate(), NOW)
    assert packs.add(session, people.ian, plate(), NOW).id != made.id


@pytest.mark.parametrize(
    ("bad", "fault", "says"),
    [
        (Plate("", {**VALUES}), Refused, "name of the pack is missing"),
        (Plate("x" * 101, {**VALUES}), Refused, "more than 100"),
        (Plate("B", {"rated": 1200.0, "duty": 0.2}), Refused, "as they stand on the plate"),
        (Plate("pack a", {**VALUES}), Conflict, "already"),
    ],
)
def test_what_is_no_pack(
    session: Session, people: People, bad: Plate, fault: type[Exception], says: str
) -> None:
    """An incomplete pack, one without a name and a second one of a name are refused, and nothing is kept."""
    packs.add(session, people.ian, plate(), NOW)
    with pytest.raises(fault, match=says):
        packs.add(session, people.ian, bad, NOW)
    assert len(list(session.scalars(select(Pack)))) == 1


def test_there_is_an_end_of_packs(session: Session, people: People) -> None:
    """A shop has a bounded number of packs."""
    for number in range(packs.MOST):
        packs.add(session, people.ian, plate(f"Pack {number}"), NOW)
    with pytest.raises(Conflict, match="Retire one"):
        packs.add(session, people.ian, plate("One more"), NOW)


def test_another_shops_pack_is_no_pack(session: Session, people: People) -> None:
    """Omar's shop sees nothing of it."""
    made = packs.add(session, people.ian, plate(), NOW)
    assert packs.packs_of(session, people.omar) == []
    with pytest.raises(NotFound):
        packs.own_pack(session, people.omar, made.id)


def test_a_pack_by_its_name(session: Session, people: People) -> None:
    """The owner of the machine names a pack; a name of two shops is not guessed at."""
    made = packs.add(session, people.ian, plate(), NOW)
    assert packs.named(session, " pack  a ") is made
    with pytest.raises(NotFound, match="--rated"):
        packs.named(session, "Pack Z")
    packs.add(session, people.omar, plate(), NOW)
    with pytest.raises(Conflict, match="Two shops"):
        packs.named(session, "Pack A")
