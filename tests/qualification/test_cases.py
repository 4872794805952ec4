"""The 36 published cases: every expected row and overall verdict."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.qualification.making import schemes
from trainer.qualification import Outcome, Row, judge_batch

CASES_FILE = Path(__file__).parent / "cases.yaml"
# BaseLoader leaves every value the text that was written.
CASES: list[dict[str, Any]] = yaml.load(CASES_FILE.read_text(encoding="utf-8"), Loader=yaml.BaseLoader)
TOLERANCE = Fraction(1, 1000)


@pytest.fixture(scope="module")
def outcomes() -> dict[str, Outcome]:
    """All cases judged as one batch, as the command does."""
    return {outcome.id: outcome for outcome in judge_batch(CASES_FILE.read_bytes(), "cases.yaml", schemes())}


def test_there_are_36_cases(outcomes: dict[str, Outcome]) -> None:
    """All 36 cases are there and each is judged."""
    assert len(CASES) == 36
    assert [identity for identity, outcome in outcomes.items() if outcome.error] == []
    assert list(outcomes) == [case["id"] for case in CASES]


@pytest.mark.parametrize("case", CASES, ids=[case["id"] for case in CASES])
def test_expected_rows(case: dict[str, Any], outcomes: dict[str, Outcome]) -> None:
    """Each expected row has the verdict, numbers, unit and days of the case."""
    judged = outcomes[case["id"]].standing
    assert judged is not None
    rows = {row.id: row for row in judged.prerequisites}
    for expected in case["expect"]:
        check_row(rows[expected["id"]], expected)
    if "overall" in case:
        assert judged.overall == case["overall"]


def check_row(row: Row, expected: dict[str, str]) -> None:
    """Compare one row with what is expected of it."""
    assert row.verdict == expected["verdict"], row.says
    for name in ("have", "need"):
        if name in expected:
            value = getattr(row, name)
            assert value is not None
            assert abs(value - Fraction(expected[name])) < TOLERANCE
    if "unit" in expected:
        assert row.unit == expected["unit"]
    if "until" in expected:
        assert str(row.until) == expected["until"]
    for name in ("earliest", "latest"):
        if name in expected:
            assert str(row.further[name]) == expected[name]


TOLD = {
    ("C05", "training"): "6 h of own practice",
    ("C08", "experience_method"): "laboratory time is training, not work experience",
    ("C25", "retest"): "too early",
    ("C25", "general"): "not accepted",
    ("C30", "recert_retest"): "too early",
    ("C38", "vision_before_exam"): "2 days after the examination",
    ("C40", "experience_method"): "60 h logged to several methods at once and not split",
    ("C45", "training_practical_share"): "24 of 40 h",
    ("C51", "experience_method"): "140 h of e1 unverified",
    ("C56", "no_significant_interruption"): "369 days away (2023-01-11 to 2024-01-14), over one year",
}


@pytest.mark.parametrize(("case", "row"), TOLD, ids=["-".join(key) for key in TOLD])
def test_the_sentence_tells_the_note(case: str, row: str, outcomes: dict[str, Outcome]) -> None:
    """Where a case notes what the sentence should tell, it tells it."""
    judged = outcomes[case].standing
    assert judged is not None
    assert TOLD[(case, row)] in {found.id: found for found in judged.prerequisites}[row].says
