"""A list of people narrows by words, level and how they stand, and leaves out nobody it was not asked to."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.entering import make_level_iii, verified
from tests.make import People, make_people
from trainer.services.admitting import accounts
from trainer.services.overseeing import selection
from trainer.services.overseeing.selection import Selection
from trainer.services.qualifying import placings, schemes
from trainer.services.qualifying.placings import Look, Placings

ON = date(2026, 11, 25)
Shown = Callable[[Selection, date], set[str]]


@pytest.fixture
def look(session: Session) -> Look:
    """Tess, whose near vision has run out, Ian with a current certificate, and somebody with nothing."""
    four: People = make_people(session)
    level_iii = make_level_iii(session)
    verified(session, four.tess, four.emma, "employer", level_iii, "vision", date="2025-11-10")
    for kind in ("vision", "certificate"):
        verified(session, four.ian, four.emma, "employer", level_iii, kind)
    verified(session, four.emma, level_iii, "level_iii", make_level_iii(session, "TV-92"), "employment")
    return Placings().look(session, four.emma, ON, schemes.known(Path("nowhere")))


@pytest.fixture
def shown(session: Session, look: Look) -> Shown:
    """The works numbers of those whom a selection shows on a day."""
    emma = next(
        one
        for one in accounts.named(session, (one.person_id for one in look.people)).values()
        if one.name == "Emma"
    ).id

    def numbers(wanted: Selection, on: date) -> set[str]:
        named = placings.named(session, emma, wanted.words) if wanted.words else None
        found = wanted.of(look.people, on, named)
        who = accounts.named(session, (one.person_id for one in found))
        return {who[one.person_id].works_number for one in found}

    return numbers


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
def test_who_is_shown(shown: Shown, asked: tuple[str, str, str], numbers: set[str]) -> None:
    """Each choice shows exactly the people it names; what cannot be asked is left out."""
    wanted = selection.asked(*asked)
    assert shown(wanted, ON) == numbers
    assert wanted.narrows == (asked not in (("", "", ""), ("", "V", "nonsense")))


def test_soon_is_thirty_days(shown: Shown, look: Look) -> None:
    """The last good day itself and thirty days before it are soon; a day earlier is not."""
    wanted = selection.asked("TV-00", "", "soon")
    until = next(one.until for one in look.expiries if one.outline.works)
    assert shown(wanted, until) != set()
    assert shown(wanted, date.fromordinal(until.toordinal() - 30)) != set()
    assert shown(wanted, date.fromordinal(until.toordinal() - 31)) == set()
