"""Activity statements for another system."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime
from decimal import Decimal
from pathlib import Path

import jsonschema
import pytest

from trainer.errors import Refused
from trainer.records import xapi
from trainer.records.xapi import Answered, Sat

# The rules were seen in the ADL xAPI 1.0.3 text; the schema in this file is ours.
SCHEMA = json.loads(
    (Path(__file__).parents[1] / "sources" / "vectors" / "xapi-statements.json").read_text(encoding="utf-8")
)["schema"]
HOME = "urn:uuid:2c0b6a2e-0000-4000-8000-0000000000ff"
AT = datetime(2026, 3, 2, 9, 5, 41, 250_000, tzinfo=UTC)
ANSWER = Answered(
    "TV-11", "coil/7", "Coil current", "12.4", True, AT, Decimal("12.3"), Decimal("12.5"), Decimal("41.25")
)
SITTING = Sat(
    "TV-11", "paper-1", "Specific examination", Decimal("34"), Decimal("40"), True, AT, Decimal("2290")
)


@pytest.mark.parametrize(
    "act",
    [
        ANSWER,
        replace(ANSWER, is_right=False, low=None, high=None, seconds=None),
        SITTING,
        replace(SITTING, is_passed=False),
    ],
)
def test_statements_keep_the_rules(act: Answered | Sat) -> None:
    """Each statement has the members that the specification asks for, and none of another form."""
    (statement,) = xapi.statements([act], HOME)
    jsonschema.Draft202012Validator(SCHEMA).validate(statement)
    score = statement["result"]["score"]
    assert score["min"] <= score["raw"] <= score["max"]
    assert -1 <= score["scaled"] <= 1


def test_an_answer_says_what_was_accepted() -> None:
    """The interval, the answer as typed, the time taken."""
    (statement,) = xapi.statements([ANSWER], HOME)
    assert statement["object"]["definition"]["correctResponsesPattern"] == ["12.3[:]12.5"]
    assert statement["result"]["response"] == "12.4"
    assert statement["result"]["duration"] == "PT41.25S"
    assert statement["timestamp"] == "2026-03-02T09:05:41.250Z"


def test_points_stand_between_their_limits() -> None:
    """An answer has one point or none, a sitting what it was marked with, none at all included."""
    acts = [ANSWER, replace(ANSWER, is_right=False), SITTING, replace(SITTING, points=Decimal(0))]
    assert [one["result"]["score"] for one in xapi.statements(acts, HOME)] == [
        {"scaled": 1, "raw": 1, "min": 0, "max": 1},
        {"scaled": 0, "raw": 0, "min": 0, "max": 1},
        {"scaled": 0.85, "raw": 34, "min": 0, "max": 40},
        {"scaled": 0, "raw": 0, "min": 0, "max": 40},
    ]


def test_a_failed_sitting_says_failed() -> None:
    """The verb follows what the examination said."""
    verbs = [one["verb"]["id"] for one in xapi.statements([SITTING, replace(SITTING, is_passed=False)], HOME)]
    assert [verb.rsplit("/", 1)[1] for verb in verbs] == ["passed", "failed"]


def test_the_same_act_is_the_same_statement() -> None:
    """Exported twice, an act keeps its id; another act has another."""
    first, again, other = xapi.statements([ANSWER, ANSWER, replace(ANSWER, item="coil/8")], HOME)
    assert first["id"] == again["id"] != other["id"]
    assert json.loads(xapi.statements_bytes([ANSWER], HOME)) == [first]


def test_what_cannot_be_is_refused() -> None:
    """Points below none, above the most there were or of none at all, and times without a zone, are refused."""
    for points, of in ((41, 40), (-1, 40), (0, 0)):
        with pytest.raises(Refused):
            replace(SITTING, points=Decimal(points), of=Decimal(of))
    with pytest.raises(Refused):
        xapi.statements([replace(ANSWER, at=datetime(2026, 3, 2))], HOME)  # noqa: DTZ001  # the fault under test


@pytest.mark.parametrize(
    ("low", "high", "pattern"),
    [
        (Decimal("12.30"), None, ["12.30[:]"]),
        (None, Decimal("12.5"), ["[:]12.5"]),
        (None, None, None),
    ],
)
def test_an_open_interval_keeps_its_one_limit(
    low: Decimal | None, high: Decimal | None, pattern: list[str] | None
) -> None:
    """Where only one limit is known it stands alone; without any the pattern is left out."""
    (statement,) = xapi.statements([replace(ANSWER, low=low, high=high)], HOME)
    assert statement["object"]["definition"].get("correctResponsesPattern") == pattern
