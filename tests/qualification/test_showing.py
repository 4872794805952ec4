"""A standing as plain data and as lines for a terminal: all 36 published cases, told both ways."""

from __future__ import annotations

import json
from fractions import Fraction
from pathlib import Path

import pytest

from tests.qualification.making import schemes
from trainer.qualification import Standing, judge_batch
from trainer.qualification.rows import Verdict
from trainer.qualification.showing import standing_as_data, standing_lines

CASES_FILE = Path(__file__).parent / "cases.yaml"
STANDINGS = {
    outcome.id: outcome.standing
    for outcome in judge_batch(CASES_FILE.read_bytes(), "cases.yaml", schemes())
    if outcome.standing is not None
}


@pytest.mark.parametrize("case", STANDINGS)
def test_a_standing_is_plain_data(case: str) -> None:
    """Nothing is lost on the way through JSON: verdicts as words, numbers as numbers, days as text."""
    judged = STANDINGS[case]
    data = standing_as_data(judged)
    assert json.loads(json.dumps(data)) == data
    assert data["on"] == judged.on.isoformat()
    assert data["overall"] == str(judged.overall)
    assert len(data["prerequisites"]) == len(judged.prerequisites)
    for told, row in zip(data["prerequisites"], judged.prerequisites, strict=True):
        assert (told["id"], told["verdict"], told["says"]) == (row.id, str(row.verdict), row.says)
        for number, exact in ((told["have"], row.have), (told["need"], row.need)):
            assert (number is None) == (exact is None)
            assert exact is None or Fraction(str(number)) == pytest.approx(exact)
            assert exact is None or isinstance(number, int) == (exact.denominator == 1)
        assert told["until"] == (row.until and row.until.isoformat())


@pytest.mark.parametrize("case", STANDINGS)
def test_a_standing_is_told_in_lines(case: str) -> None:
    """Every prerequisite has its mark, its sentence and its clause; the outcome and the remarks stand below."""
    judged = STANDINGS[case]
    lines = list(standing_lines(judged))
    assert (
        f"on {judged.on}: {judged.scheme.document} {judged.scheme.edition}, MT Level {judged.level}"
        in lines[0]
    )
    assert lines[1] == f"Judged: {judged.route}"
    below = lines[2 + 2 * len(judged.prerequisites) :]
    assert below == ["", judged.says, *(f"  {remark}" for remark in judged.remarks)]
    for place, row in enumerate(judged.prerequisites):
        first, second = lines[2 + 2 * place : 4 + 2 * place]
        mark = {"met": "  met  ", "not met": "  NOT MET  ", "expired": "  EXPIRED  "}[
            str(row.verdict).replace("_", " ")
        ]
        assert first.startswith(mark)
        assert row.says in first
        assert (f"(until {row.until})" in first) == (row.until is not None)
        assert second.strip() == f"by {row.clause}"


def test_the_cases_have_each_outcome() -> None:
    """All three verdicts stand in them, and the sentence of the whole says what is short and what ran out."""
    assert {row.verdict for one in STANDINGS.values() for row in one.prerequisites} == {*Verdict}
    for judged in STANDINGS.values():
        assert says(judged) in judged.says


def says(judged: Standing) -> str:
    """What the sentence of a standing must hold."""
    short = [row.id for row in judged.prerequisites if row.verdict is Verdict.NOT_MET]
    old = [row.id for row in judged.prerequisites if row.verdict is Verdict.EXPIRED]
    if not short and not old:
        return "are met on"
    parts = [f"{word}: {', '.join(ids)}" for word, ids in (("not met", short), ("expired", old)) if ids]
    return "; ".join(parts)


@pytest.mark.parametrize("case", STANDINGS)
def test_a_number_is_told_in_its_own_word(case: str) -> None:
    """Marks and grades are reached, hours and days are held; a grade short of what is asked is not rounded up."""
    for row in STANDINGS[case].prerequisites:
        if row.have is not None and row.need is not None and " asked" in row.says:
            assert (" reached, " in row.says) == (row.unit in ("pct", "marks")), row.says
            assert (" held, " in row.says) == (row.unit not in ("pct", "marks")), row.says
        if row.id == "composite" and row.have is not None and row.need is not None:
            assert ("No grade is rounded up" in row.says) == (row.have < row.need), row.says
