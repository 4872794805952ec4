"""Each event is judged by the revision in force on its own day, and a later one rewrites nothing."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

from tests.qualification.making import certificate, history, near, schemes, training, written
from trainer.qualification import (
    Level,
    Revisions,
    Row,
    Signature,
    Standing,
    Verdict,
    WrittenPractice,
    standing,
)
from trainer.qualification.overrides import Override

SCHEME = "SNT-2020"
FIRST, SECOND = date(2024, 1, 1), date(2026, 1, 1)


def revision(number: str, in_force: date, **values: Any) -> WrittenPractice:
    """A revision that sets some figures; the first underscore of a name stands for the dot."""
    overrides = tuple(
        Override(key.replace("__", "."), value if isinstance(value, str) else Fraction(value), "our own rule")
        for key, value in values.items()
    )
    return WrittenPractice(SCHEME, number, in_force, Signature("TV-91", "level_iii"), overrides)


def judged(on: str, *entries: dict[str, Any], practices: list[WrittenPractice]) -> Standing:
    """The standing under several revisions."""
    scheme = schemes()[SCHEME]
    return standing(
        history(*entries), scheme, Level.I, date.fromisoformat(on), Revisions.of(scheme, practices)
    )


def rows(on: str, *entries: dict[str, Any], practices: list[WrittenPractice]) -> dict[str, Row]:
    """The rows of a standing under several revisions, by id."""
    return {row.id: row for row in judged(on, *entries, practices=practices).prerequisites}


def test_which_revision_is_in_force() -> None:
    """None before the first day, each from its own day on, whatever the order in which they are given."""
    second, first = revision("2", SECOND), revision("1", FIRST)
    revisions = Revisions.of(schemes()[SCHEME], [second, first])
    assert revisions.practice_on(date(2023, 12, 31)) is None
    assert revisions.practice_on(FIRST) == revisions.practice_on(date(2025, 12, 31)) == first
    assert revisions.practice_on(SECOND) == second
    assert revisions.rules_on(date(2023, 12, 31)) is schemes()[SCHEME]


def test_a_pass_stays_a_pass_when_the_mark_is_raised() -> None:
    """72 % passed at 70 under revision 1; revision 2 asks 80 of later sittings only."""
    practices = [revision("1", FIRST, general__pass=70), revision("2", SECOND, general__pass=80)]
    old = written("e1", "general", "2025-06-01", 36, 50)
    late = rows("2026-06-01", old, practices=practices)["general"]
    assert (late.verdict, late.need) == (Verdict.MET, 70)
    assert "revision 1" in late.clause
    new = written("e2", "general", "2026-06-01", 36, 50)
    assert rows("2026-06-01", new, practices=practices)["general"].verdict is Verdict.NOT_MET


def test_what_is_asked_in_sum_is_asked_by_the_day_of_judging() -> None:
    """Hours of training are held against the revision in force on the day that is asked about."""
    practices = [revision("1", FIRST, training__I=10), revision("2", SECOND, training__I=20)]
    held = training("e1", 12)
    assert rows("2025-12-31", held, practices=practices)["training"].need == 10
    assert rows("2026-01-01", held, practices=practices)["training"].need == 20
    assert rows("2023-12-31", held, practices=practices)["training"].need == 12


def test_a_certificate_and_a_vision_check_keep_the_length_they_were_given() -> None:
    """Three years and six months were the rule on their days, whatever a later revision says."""
    practices = [
        revision("1", FIRST, certificate__years=3, vision_near__months=6),
        revision("2", SECOND, certificate__years=1, vision_near__months=12),
    ]
    entries = (near("e1", "2025-11-01"), certificate("e2", "2025-11-05", SCHEME))
    found = rows("2026-06-01", *entries, practices=practices)
    assert found["vision_near"].until == date(2026, 5, 1)
    assert found["vision_near"].verdict is Verdict.EXPIRED
    assert found["certificate_current"].until == date(2028, 11, 4)


def test_a_paper_is_void_by_the_rule_of_its_day() -> None:
    """A paper long enough on its day is not made void by a revision that asks for more questions."""
    practices = [revision("1", FIRST, general__questions=30), revision("2", SECOND, general__questions=60)]
    old = written("e1", "general", "2025-06-01", 28, 30)
    assert rows("2026-06-01", old, practices=practices)["general"].verdict is Verdict.MET


def test_the_standing_names_the_revision_and_says_how_it_judged() -> None:
    """The revision of the day stands in the standing, and a remark tells that events keep theirs."""
    practices = [revision("1", FIRST), revision("2", SECOND)]
    late = judged("2026-06-01", practices=practices)
    assert late.practice is not None
    assert late.practice.revision == "2"
    assert any("on its own day" in says for says in late.remarks)
    early = judged("2023-06-01", practices=practices)
    assert early.practice is None
    assert early.scheme.practice is None
    assert not any("on its own day" in says for says in early.remarks)
