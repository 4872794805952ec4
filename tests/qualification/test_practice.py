"""Written practices: what may be overridden, how far, and what is refused (history format, section 9)."""

from __future__ import annotations

import json
from fractions import Fraction
from typing import Any

import pytest

from tests.qualification.making import experience, history, judge, near, practice, rows, schemes, training
from trainer.qualification import FaultyHistory, Level, Verdict, differences, read_practice_file, standing
from trainer.qualification.standing import NotJudged

ON = "2025-06-30"
EVERY_KEY: dict[str, Any] = {
    "training.I": 20,
    "training.II": 30,
    "experience_method.I": 200,
    "experience_method.II": 500,
    "experience_total.I": 140,
    "experience_total.II": 410,
    "general.pass": 75,
    "specific.pass": 75,
    "practical.pass": 85,
    "composite.pass": 85,
    "general.questions": 45,
    "specific.questions": 35,
    "practical.specimens": 3,
    "practical.checkpoints": 20,
    "retest.days": 40,
    "vision_near.months": 6,
    "vision_near.chart": "jaeger_1",
    "vision_colour.years": 1,
    "certificate.years": 3,
    "rehire.months": 3,
    "interruption.months": 6,
    "weights": {"general": 1, "specific": 1, "practical": 2},
    "laboratory.percent": 10,
    "education.reduction_percent": 10,
    "results.years": 9,
}
ONLY_SNT = {"weights", "laboratory.percent"}
UNKNOWN: dict[str, set[str]] = {
    "SNT-2006": {"experience_total.I", "experience_total.II", "education.reduction_percent", "results.years"},
    "SNT-2020": {"results.years"},
    "CP189-2016-A1": {*ONLY_SNT, "education.reduction_percent", "results.years"},
    "NAS410-EN4179": {
        *ONLY_SNT, "education.reduction_percent", "results.years", "rehire.months",
        "experience_total.I", "experience_total.II",
    },
    "ISO9712-2005": set(EVERY_KEY) - {"experience_method.I", "experience_method.II"},
    "ISO9712-2012": {
        *ONLY_SNT, "experience_total.I", "experience_total.II", "composite.pass", "retest.days",
        "rehire.months", "interruption.months",
    },
    "ISO9712-2021": {
        *ONLY_SNT, "experience_total.I", "experience_total.II", "composite.pass", "retest.days",
        "rehire.months", "interruption.months",
    },
    "ACCP-II": set(EVERY_KEY),
}  # fmt: skip


def refused(scheme: str, **overrides: Any) -> str:
    """The sentence with which an override is refused."""
    with pytest.raises(FaultyHistory) as caught:
        judge(scheme, "II", ON, written_practice=practice(scheme, **overrides))
    assert caught.value.exit_code == 2
    return str(caught.value)


@pytest.mark.parametrize("scheme", UNKNOWN)
@pytest.mark.parametrize("key", EVERY_KEY)
def test_which_keys_a_scheme_takes(scheme: str, key: str) -> None:
    """A stricter value is taken for every key whose row the scheme has; any other key is unknown there."""
    if key in UNKNOWN[scheme]:
        assert f"'{key}' cannot be overridden in {scheme}" in refused(scheme, **{key: EVERY_KEY[key]})
    else:
        judged = judge(scheme, "II", ON, written_practice=practice(scheme, **{key: EVERY_KEY[key]}))
        assert judged.practice is not None
        assert judged.practice.revision == "4"


@pytest.mark.parametrize(
    ("key", "value", "says"),
    [
        ("training.I", 15, "laxer than ISO9712-2012 allows; write 16 or more"),
        ("training.I", "15.999", "laxer"),
        ("general.pass", 69, "write 70 or more"),
        ("general.questions", 29, "write 30 or more"),
        ("vision_near.months", 13, "write 12 or less"),
        ("vision_near.chart", "jaeger_2", "coarser"),
        ("certificate.years", 6, "write 5 or less"),
        ("education.reduction_percent", 51, "50 % at most"),
    ],
)
def test_laxer_values_are_refused(key: str, value: Any, says: str) -> None:
    """Under a standard a laxer value is an error that names the limit; the limit itself is taken."""
    assert says in refused("ISO9712-2012", **{key: value})


def test_the_limits_themselves_are_taken() -> None:
    """A value equal to the published one is not laxer; the age of results is the body's choice."""
    equal = {
        "training.I": 16,
        "general.pass": 70,
        "vision_near.months": 12,
        "certificate.years": 5,
        "results.years": 5,
    }
    equal["education.reduction_percent"] = 50
    judge("ISO9712-2012", "I", ON, written_practice=practice("ISO9712-2012", **equal))


def test_a_recommended_practice_takes_any_value() -> None:
    """Under SNT-TC-1A the employer may also set laxer figures."""
    own = practice(
        "SNT-2020", **{"training.I": 4, "general.pass": 60, "vision_near.months": 24, "retest.days": 0}
    )
    found = rows("SNT-2020", "I", ON, training("e1", 4), written_practice=own)
    assert (found["training"].have, found["training"].need, found["general"].need) == (4, 4, 60)
    assert "written practice, revision 4" in found["training"].clause


@pytest.mark.parametrize("chart", ["jaeger_1", "jaeger_2"])
@pytest.mark.parametrize("scheme", ["SNT-2020", "CP189-2016-A1"])
def test_a_chart_of_the_written_practice_is_the_one_asked(scheme: str, chart: str) -> None:
    """SNT-TC-1A leaves the chart to the employer, and of CP-189 none was read: Jaeger 2 serves where it is written."""
    own = practice(scheme, **{"vision_near.chart": chart})
    row = rows(scheme, "I", ON, near("e1", "2025-01-01", chart="jaeger_2"), written_practice=own)[
        "vision_near"
    ]
    assert (row.verdict is Verdict.MET) == (chart == "jaeger_2")


@pytest.mark.parametrize(
    ("key", "most"),
    [
        ("general.pass", 100),
        ("education.reduction_percent", 100),
        ("laboratory.percent", 100),
        ("specific.questions", 10_000),
        ("retest.days", 36_500),
        ("certificate.years", 1200),
    ],
)
def test_a_value_beyond_all_sense_is_refused(key: str, most: int) -> None:
    """The largest value is taken and named to who goes beyond it."""
    judge("SNT-2020", "I", ON, written_practice=practice("SNT-2020", **{key: most}))
    assert f"cannot be above {most}; write" in refused("SNT-2020", **{key: most + 1})


@pytest.mark.parametrize(
    ("overrides", "says"),
    [
        ({"training.I": {"value": 14}}, "has no reason"),
        ({"training.I": {"value": 14, "reason": ""}}, "reason"),
        ({"training.I": {"reason": "why"}}, "'value' is missing"),
        ({"training.I": 14}, "must be a mapping"),
        ({"training.III": {"value": 14, "reason": "why"}}, "cannot be overridden"),
        ({"training.I": {"value": "-1", "reason": "why"}}, "not a plain decimal"),
        ({"general.pass": {"value": 101, "reason": "why"}}, "cannot be above 100"),
        ({"general.questions": {"value": "40.5", "reason": "why"}}, "not a whole number"),
        ({"certificate.years": {"value": 0, "reason": "why"}}, "from 1 on"),
        ({"vision_near.chart": {"value": "other", "reason": "why"}}, "'other' is not known"),
        ({"weights": {"value": {"general": 1}, "reason": "why"}}, "is missing"),
        (
            {"weights": {"value": {"general": 0, "specific": 0, "practical": 0}, "reason": "why"}},
            "add up to 0",
        ),
        ([], "must be a mapping"),
    ],
)
def test_faulty_overrides(overrides: Any, says: str) -> None:
    """Each faulty override is told with its line and in words."""
    own = {**practice("SNT-2020"), "overrides": overrides}
    with pytest.raises(FaultyHistory) as caught:
        judge("SNT-2020", "I", ON, written_practice=own)
    assert str(caught.value).startswith("tess.yaml:1: written_practice: ")
    assert says in str(caught.value)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"revision": None}, "'revision' is missing"),
        ({"in_force": "soon"}, "is not a day"),
        ({"approved_by": {"person": "Emma", "role": "employer"}}, "role: level_iii"),
        ({"based_on": None}, "'based_on' is missing"),
        ({"colour": "red"}, "'colour' is not known"),
    ],
)
def test_faulty_heads(change: dict[str, Any], says: str) -> None:
    """A written practice names its base, revision, day and the Level III who approved it."""
    own = {key: value for key, value in {**practice("SNT-2020"), **change}.items() if value is not None}
    with pytest.raises(FaultyHistory) as caught:
        judge("SNT-2020", "I", ON, written_practice=own)
    assert says in str(caught.value)


def test_another_base_is_left_aside_unread() -> None:
    """A written practice on another edition does not apply and is not even read, but this is said."""
    own = {**practice("SNT-2016"), "overrides": {"nonsense": 1}}
    judged = judge("SNT-2020", "I", ON, training("e1"), written_practice=own)
    assert judged.practice is None
    assert "builds on SNT-2016 and is left aside" in judged.remarks[0]


def test_direct_is_the_sum_of_what_is_set() -> None:
    """Direct to Level II asks the sum of both levels, the overridden and the published one."""
    own = practice("SNT-2020", **{"training.II": 10, "experience_method.I": "70.5"})
    found = rows("SNT-2020", "II", ON, written_practice=own)
    assert (found["training"].need, found["experience_method"].need) == (22, Fraction("280.5"))
    assert found["experience_total"].need == 530


def test_a_figure_of_training_holds_in_both_columns_of_2006() -> None:
    """What the employer sets for a level holds whatever the education."""
    study = {"id": "e1", "kind": "education", "date": "2006-06-30", "field": "science", "completed_years": 2}
    signed = {**experience("x")}
    study |= {"entered_by": signed["entered_by"], "countersigned_by": {"person": "Emma", "role": "employer"}}
    own = practice("SNT-2006", **{"training.I": 16})
    assert rows("SNT-2006", "I", ON, study, written_practice=own)["training"].need == 16
    assert rows("SNT-2006", "II", ON, study, written_practice=own)["training"].need == 20


def test_a_practice_in_its_own_file() -> None:
    """The same mapping in a file of its own brings its scheme with it; differences to the edition are listed."""
    own = practice("SNT-2020", **{"training.I": 14, "practical.specimens": 2, "laboratory.percent": 5})
    scheme, read = read_practice_file(json.dumps(own), "practice.yaml", schemes())
    judged = standing(history(training("e1", 13)), scheme, Level.I, read.in_force, read)
    assert judged.prerequisites[0].need == 14
    changes = {change.key: change for change in differences(scheme, read)}
    published = changes["training.I"].published
    assert published is not None
    assert (published.value, changes["training.I"].value) == (12, "14")
    assert changes["laboratory.percent"].published is None
    with pytest.raises(NotJudged) as caught:
        standing(history(), schemes()["SNT-2016"], Level.I, read.in_force, read)
    assert caught.value.exit_code == 2


def test_a_revision_of_the_future_is_remarked() -> None:
    """Judging a day before the revision came into force says so."""
    judged = judge("SNT-2020", "I", "2023-12-31", written_practice=practice("SNT-2020"))
    assert any("came into force after the day asked" in remark for remark in judged.remarks)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("based_on: SNT-1066", "'SNT-1066' is not known"),
        ("revision: 4", "'based_on' is missing"),
        ("[]", "is a mapping"),
        ("a: &b 1", "anchor"),
        ("", "empty"),
    ],
)
def test_a_faulty_file(text: str, says: str) -> None:
    """A file that is no written practice gets one sentence."""
    with pytest.raises(FaultyHistory) as caught:
        read_practice_file(text, "practice.yaml", schemes())
    assert str(caught.value).startswith("practice.yaml:1: ")
    assert says in str(caught.value)


def test_what_the_employer_sets_is_no_longer_told_as_not_judged() -> None:
    """SNT leaves the interruption to the employer: without a figure this is remarked, with one it is a row."""

    def remarked(**overrides: Any) -> bool:
        own = practice("SNT-2020", **overrides) if overrides else None
        judged = judge("SNT-2020", "I", ON, written_practice=own)
        return any("interruption.months" in remark for remark in judged.remarks)

    assert (remarked(), remarked(**{"interruption.months": 6})) == (True, False)
