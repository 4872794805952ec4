"""A list of people narrows by words, level and how they stand, and leaves out nobody it was not asked to."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.entering import make_level_iii, verified
from tests.make import People, make_people
from trainer.services import schemes, selection, standing
from trainer.services.standing import Placed

ON = date(2026, 11, 25)


@pytest.fixture
def house(session: Session) -> list[Placed]:
    """Tess, whose near vision has run out, Ian with a current certificate, and somebody with nothing."""
    four: People = make_people(session)
    level_iii = make_level_iii(session)
    verified(session, four.tess, four.emma, "employer", level_iii, "vision", date="2025-11-10")
    for kind in ("vision", "certificate"):
        verified(session, four.ian, four.emma, "employer", level_iii, kind)
    verified(session, four.emma, level_iii, "level_iii", make_level_iii(session, "TV-92"), "employment")
    return standing.of_house(session, four.emma, ON, schemes.known(Path("nowhere")))


@pytest.mark.parametrize(
    ("asked", "numbers"),
    [
        (("", "", ""), {"TV-07", "TV-00", "TV-90"}),
        (("tess", "", ""), {"TV-07"}),
        (("TV- emm", "", ""), {"TV-90"}),
        (("nobody", "", ""), set()),
        (("", "I", ""), {"TV-07", "TV-00", "TV-90"}),
        (("", "II", ""), set()),
        (("", "", "gone"), {"TV-07"}),
        (("", "", "soon"), set()),
        (("", "", "works"), {"TV-00"}),
        (("", "", "supervised"), {"TV-07", "TV-90"}),
        (("", "", "short"), {"TV-07", "TV-00", "TV-90"}),
        (("", "V", "nonsense"), {"TV-07", "TV-00", "TV-90"}),
    ],
)
def test_who_is_shown(house: list[Placed], asked: tuple[str, str, str], numbers: set[str]) -> None:
    """Each choice shows exactly the people it names; what cannot be asked is left out."""
    wanted = selection.asked(*asked)
    assert {one.person.works_number for one in wanted.of(house, ON)} == numbers
    assert wanted.narrows == (asked not in (("", "", ""), ("", "V", "nonsense")))


def test_soon_is_thirty_days(house: list[Placed]) -> None:
    """The last good day itself and thirty days before it are soon; a day earlier is not."""
    wanted = selection.asked("TV-00", "", "soon")
    until = next(due.until for one in house if one.person.works_number == "TV-00" for due in one.dues)
    assert wanted.of(house, until) != []
    assert wanted.of(house, date.fromordinal(until.toordinal() - 30)) != []
    assert wanted.of(house, date.fromordinal(until.toordinal() - 31)) == []
