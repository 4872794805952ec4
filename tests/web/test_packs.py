"""Pages of packs: written down, changed, retired by the instructor; nobody else's."""

from __future__ import annotations

import pytest

from tests.conftest import Browser
from tests.make import NOW, People
from trainer.services.teaching import packs
from trainer.shopwork.pack import Pack as Plate
from trainer.store import Database

PACK = {
    "title": "Pack A", "rated": "3.6 kA", "duty": "25 %", "period": "4 min", "lead": "95 mm2", "distance": "33 ft",
}  # fmt: skip


@pytest.fixture
def pack_id(store: Database, people: People) -> int:
    """A pack of Ian's shop."""
    with store.writing() as session:
        plate = Plate("Pack A", {"rated": 3600.0, "duty": 0.25, "period": 240.0})
        return packs.add(session, people.ian, plate, NOW).id


def test_a_pack_is_written_down(people: People, as_ian: Browser) -> None:
    """Values in any unit are kept and shown in the shop's own."""
    assert as_ian.send("/instructor/packs", PACK).status_code == 303
    page = as_ian.get("/instructor/packs").get_data(as_text=True)
    for says in (
        "1 pack to choose from",
        "3600\u202fA",
        "25\u202f%",
        "240\u202fs",
        "95 mm2",
        "10.0584\u202fm",
    ):
        assert says in page, says


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"title": ""}, "Write a name"),
        ({"rated": "3600"}, "A unit is missing"),
        ({"rated": ""}, "Write the rated current"),
        ({"duty": "300 %"}, "at most 100 %"),
        ({"period": "4 A"}, "does not measure this"),
        ({"lead": "9/0"}, "is no size of lead"),
        ({"lead": ""}, "Write size and length"),
        ({"distance": ""}, "Write size and length"),
        ({"distance": "x" * 500}, "Write at most 80"),
    ],
)
def test_a_bad_pack_is_named(
    store: Database, people: People, as_ian: Browser, change: dict[str, str], says: str
) -> None:
    """Each fault has its sentence, what was typed is kept, nothing is written."""
    response = as_ian.send("/instructor/packs", {**PACK, **change})
    page = response.get_data(as_text=True)
    assert (response.status_code, says in page) == (422, True)
    assert ('value="Pack A"' in page) == ("title" not in change)
    with store.reading() as session:
        assert packs.packs_of(session, people.ian) == []


def test_a_pack_is_changed_and_retired(people: People, as_ian: Browser, pack_id: int) -> None:
    """The form holds what is kept; a change keeps the former one in sight; a retired pack is not found."""
    path = f"/instructor/packs/{pack_id}"
    assert "3600\u202fA" in as_ian.get(path).get_data(as_text=True)
    assert as_ian.send(path, {**PACK, "rated": "x"}).status_code == 422
    assert as_ian.send(path, {**PACK, "rated": "3000 A"}).status_code == 303
    page = as_ian.get("/instructor/packs").get_data(as_text=True)
    assert ("3000\u202fA" in page, "As they were" in page, "3600\u202fA" in page) == (True, True, True)
    assert as_ian.get(path).status_code == 404
    assert as_ian.send(f"/instructor/packs/{pack_id + 1}/retire").status_code == 303
    assert "No pack yet" in as_ian.get("/instructor/packs").get_data(as_text=True)


def test_a_form_filled_by_us_is_taken_back(people: People, as_ian: Browser, pack_id: int) -> None:
    """The values as the form writes them, narrow spaces and all, are read again as they were."""
    shown = {"title": "Pack A", "rated": "3600\u202fA", "duty": "25\u202f%", "period": "240\u202fs"}
    assert as_ian.send(f"/instructor/packs/{pack_id}", shown).status_code == 303


def test_nobody_elses_pack(store: Database, people: People, as_ian: Browser) -> None:
    """A pack of another shop looks like none, for reading, changing and retiring."""
    with store.writing() as session:
        plate = Plate("Other", {"rated": 900.0, "duty": 0.5, "period": 600.0})
        other = packs.add(session, people.omar, plate, NOW).id
    assert as_ian.get(f"/instructor/packs/{other}").status_code == 404
    assert as_ian.send(f"/instructor/packs/{other}", PACK).status_code == 404
    assert as_ian.send(f"/instructor/packs/{other}/retire").status_code == 404
    assert "Other" not in as_ian.get("/instructor/packs").get_data(as_text=True)
