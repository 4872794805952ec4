"""Examinations: void papers, retests, waivers, composites and the age of results (history format, section 6)."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from tests.qualification.making import certificate, history, practical, practice, rows, training, written
from trainer.qualification import FaultyHistory, Verdict

ON = "2025-12-31"
INSTRUCTION = {"marks": 12, "of": 15}


def specimens(*marks: Any) -> list[dict[str, Any]]:
    """Specimens of 85 marks each."""
    return [{"specimen": f"P{n}", "marks": mark, "of": 85} for n, mark in enumerate(marks, 1)]


def passed(
    scheme_level: str = "I", day: str = "2025-03-03", of: tuple[int, int] = (40, 30)
) -> list[dict[str, Any]]:
    """Three parts passed with 90 percent."""
    general, specific = of
    return [
        written("g", "general", day, general * 9 // 10, general, scheme_level),
        written("s", "specific", day, specific * 9 // 10, specific, scheme_level),
        practical("p", day, 9, 10, scheme_level),
    ]


@pytest.mark.parametrize(
    ("scheme", "made", "row", "have", "need", "unit"),
    [
        ("SNT-2020", written("e1", "general", "2025-01-01", 39, 39), "general", 39, 40, "questions"),
        ("SNT-2020", written("e1", "specific", "2025-01-01", 19, 19), "specific", 19, 20, "questions"),
        ("NAS410-EN4179", written("e1", "specific", "2025-01-01", 29, 29), "specific", 29, 30, "questions"),
        ("ISO9712-2021", written("e1", "general", "2025-01-01", 29, 29), "general", 29, 30, "questions"),
        (
            "SNT-2020",
            practical("e1", "2025-01-01", specimens=[{"marks": 9, "of": 9, "checkpoints": 9}]),
            "practical", 9, 10, "checkpoints",
        ),
        ("SNT-2020", practical("e1", "2025-01-01", specimens=[{"marks": 9, "of": 9}]), "practical", 0, 10, "checkpoints"),
    ],
)  # fmt: skip
def test_short_papers_are_void(
    scheme: str, made: dict[str, Any], row: str, have: int, need: int, unit: str
) -> None:
    """A paper below its minimum is void whatever the score; the row shows the count against the minimum."""
    found = rows(scheme, "I", ON, made)[row]
    assert (found.verdict, found.have, found.need, found.unit) == (Verdict.NOT_MET, have, need, unit)
    assert "void" in found.says


def test_nas_410_level_2_needs_two_specimens() -> None:
    """NAS 410 / EN 4179 (S16): two specimens at Level 2; specimens are told before checkpoints."""
    found = rows("NAS410-EN4179", "II", ON, practical("e1", "2025-01-01", level="II"))["practical"]
    assert (found.have, found.need, found.unit) == (1, 2, "specimens")
    assert rows("NAS410-EN4179", "I", ON, practical("e1", "2025-01-01"))["practical"].verdict is Verdict.MET


def test_a_practical_has_a_hundred_specimens_at_most() -> None:
    """More are no examination but a mistake, and are said to be one; none at all too."""
    most = rows(
        "NAS410-EN4179", "II", ON, practical("e1", "2025-01-01", level="II", specimens=specimens(*[85] * 100))
    )
    assert most["practical"].have == 100
    for marks in ([], [85] * 101):
        with pytest.raises(FaultyHistory, match="1 to 100"):
            history(practical("e1", "2025-01-01", level="II", specimens=specimens(*marks)))


def test_void_and_good_papers() -> None:
    """A void paper is left out of the walk: it is no failed sitting and makes no retest."""
    made = [written("e1", "general", "2025-01-01", 1, 39), written("e2", "general", "2025-01-02", 40, 40)]
    found = rows("SNT-2020", "I", ON, *made)
    assert found["general"].have == 100
    assert "retest" not in found
    assert rows("CP189-2016-A1", "I", ON, written("e1", "general", "2025-01-01", 3, 3))["general"].have == 100


def test_level_purpose_and_family_of_a_sitting() -> None:
    """Only sittings of the level, of the first certification, and of the family or none count."""
    base = written("e1", "general", "2025-01-01", 40, 40)
    for change in (
        {"level": "II"},
        {"purpose": "recertification"},
        {"scheme": "ISO9712-2012"},
        {"method": "PT"},
    ):
        assert rows("SNT-2020", "I", ON, {**base, **change})["general"].have is None
    assert rows("SNT-2020", "I", ON, {**base, "scheme": "SNT-2006"})["general"].have == 100


FAILED = written("e1", "general", "2025-01-31", 20, 40)
AGAIN = written("e3", "general", "2025-02-10", 40, 40)


@pytest.mark.parametrize(
    ("remedial", "counts"),
    [
        ({"date": "2025-01-31"}, True),
        ({"date": "2025-02-10"}, True),
        ({"date": "2025-01-30"}, False),
        ({"date": "2025-02-11"}, False),
        ({"date": "2025-02-01", "countersigned_by": {"person": "Emma", "role": "instructor"}}, False),
        ({"date": "2025-02-01", "remedial_for": None}, False),
    ],
)
def test_training_of_the_level_iii_waives_the_wait(remedial: dict[str, Any], counts: bool) -> None:
    """SNT-TC-1A (S08): additional training set by the Level III, between day 0 and the retest, waives 30 days."""
    fields = {"remedial_for": "e1", **remedial}
    found = rows(
        "SNT-2020", "I", ON, FAILED, training("e2", 4, **{k: v for k, v in fields.items() if v}), AGAIN
    )
    assert (found["general"].have == 100) == counts
    assert found["retest"].have == 10
    assert found["retest"].need == (0 if counts else 30)
    assert found["retest"].further["earliest"] == date(2025, 3, 2)
    assert (found["retest"].verdict is Verdict.MET) == counts


def test_iso_9712_2021_knows_no_waiver() -> None:
    """In ISO 9712 one month, waived by training in 2012 and not in 2021."""
    made = [
        {**FAILED, "of": 30, "right": 10},
        training("e2", 4, date="2025-02-01", remedial_for="e1"),
        {**AGAIN, "of": 30, "right": 30},
    ]
    assert rows("ISO9712-2012", "I", ON, *made)["general"].have == 100
    assert rows("ISO9712-2021", "I", ON, *made)["general"].have == Fraction(100, 3)


def test_one_month_clips_to_the_month_end() -> None:
    """One month after 31 January is 28 February; the row counts in days to the earliest day (V7)."""
    for day, verdict in (("2025-02-27", Verdict.NOT_MET), ("2025-02-28", Verdict.MET)):
        made = [written("e1", "general", "2025-01-31", 10, 30), written("e2", "general", day, 30, 30)]
        row = rows("ISO9712-2012", "I", ON, *made)["retest"]
        assert (row.verdict, row.need) == (verdict, 28)
        assert row.further == {"earliest": date(2025, 2, 28), "latest": date(2027, 1, 31)}


def test_two_retests_and_no_more() -> None:
    """ISO 9712: the third retest of a series does not count, nor one after two years from its first sitting."""
    days = ["2023-01-10", "2023-03-10", "2023-05-10", "2023-07-10"]
    made = [written(f"e{n}", "general", day, 10 + n, 30) for n, day in enumerate(days)]
    row = rows("ISO9712-2012", "I", ON, *made)
    assert row["general"].have == 40
    assert "used up" in row["retest"].says
    for day, have in (("2025-01-10", 100), ("2025-01-11", Fraction(100, 3))):
        found = rows("ISO9712-2012", "I", ON, made[0], written("e9", "general", day, 30, 30))
        assert found["general"].have == have


def test_a_retest_that_does_not_count_changes_nothing() -> None:
    """After a retest too early the next one is still counted from the first failure."""
    made = [
        FAILED,
        written("e2", "general", "2025-02-05", 10, 40),
        written("e3", "general", "2025-03-02", 36, 40),
    ]
    found = rows("SNT-2020", "I", ON, *made)
    assert found["general"].have == 90
    assert (found["retest"].have, found["retest"].verdict) == (30, Verdict.MET)


def test_a_low_composite_is_followed_by_a_retest() -> None:
    """Three passes with a composite under 80: any part again is a retest from the latest of the three days."""
    low = [
        written("e1", "general", "2025-03-01", 28, 40),
        written("e2", "specific", "2025-03-02", 14, 20),
        practical("e3", "2025-03-03", 8, 10),
    ]
    early = written("e4", "general", "2025-04-01", 40, 40)
    found = rows("SNT-2020", "I", ON, *low, early)
    assert (found["retest"].have, found["retest"].verdict) == (29, Verdict.NOT_MET)
    assert found["composite"].have == Fraction(220, 3)
    found = rows("SNT-2020", "I", ON, *low, {**early, "date": "2025-04-02"})
    assert (found["retest"].have, found["composite"].have) == (30, Fraction(250, 3))
    assert "shortest way" in rows("SNT-2020", "I", ON, *low)["composite"].missing


def test_sitting_again_after_a_pass_counts_at_once() -> None:
    """A sitting after a pass, with no low composite, is no retest: its grade is the newest at once."""
    made = [written("e1", "general", "2025-03-01", 36, 40), written("e2", "general", "2025-03-02", 20, 40)]
    found = rows("SNT-2020", "I", ON, *made)
    assert found["general"].have == 50
    assert "retest" not in found


def test_a_composite_on_its_mark_asks_for_no_retest() -> None:
    """A composite of exactly 80 is not below its mark: sitting a part again counts at once."""
    made = [
        written("e1", "general", "2025-03-01", 28, 40),
        written("e2", "specific", "2025-03-01", 16, 20),
        practical("e3", "2025-03-01", 9, 10),
        written("e4", "general", "2025-03-02", 40, 40),
    ]
    found = rows("SNT-2020", "I", ON, *made)
    assert found["composite"].have == 90
    assert "retest" not in found


@pytest.mark.parametrize(
    ("sat", "lacking"),
    [
        ("", "general and the specific and the practical part"),
        ("g", "specific and the practical part"),
        ("s", "general and the practical part"),
        ("p", "general and the specific part"),
        ("gs", "practical part"),
        ("gp", "specific part"),
        ("sp", "general part"),
    ],
)
def test_composite_waits_for_all_three(sat: str, lacking: str) -> None:
    """The composite is null while a grade is missing, and each part that is missing is named."""
    row = rows("SNT-2020", "I", ON, *[made for made in passed() if made["id"] in sat])["composite"]
    assert (row.have, row.need, row.verdict) == (None, 80, Verdict.NOT_MET)
    assert row.missing == f"no composite without the {lacking}"
    assert "composite" not in rows("ISO9712-2012", "I", ON)


@pytest.mark.parametrize(("right", "lift"), [(0, 240), (10, 215), (20, 190)])
def test_the_lift_of_a_composite_is_what_its_parts_lack_together(right: int, lift: int) -> None:
    """Three times 80 are asked: nothing in any part lacks all of it, 25 percent in one part lack so much less."""
    made = [
        written("e1", "general", "2025-03-03", right, 40),
        written("e2", "specific", "2025-03-03", 0, 30),
        practical("e3", "2025-03-03", 0),
    ]
    row = rows("SNT-2020", "I", ON, *made)["composite"]
    assert row.have == Fraction(240 - lift, 3)
    assert f"rise by {lift} % in sum" in row.missing


def test_weights_of_the_written_practice() -> None:
    """Weights make the composite a weighted mean."""
    own = practice("SNT-2020", weights={"general": 1, "specific": 1, "practical": 2})
    made = [
        written("e1", "general", "2025-03-01", 28, 40),
        written("e2", "specific", "2025-03-01", 14, 20),
        practical("e3", "2025-03-01", 9, 10),
    ]
    assert rows("SNT-2020", "I", ON, *made, written_practice=own)["composite"].have == 80
    assert rows("SNT-2020", "I", ON, *made)["composite"].verdict is Verdict.NOT_MET


def test_the_instruction_of_level_2() -> None:
    """ISO 9712:2012 (S37): at Level 2 the instruction is judged, a missing one as 0 of 15; at Level 1 not."""
    both = specimens(70, 80)
    found = rows("ISO9712-2012", "II", ON, practical("e1", "2025-01-01", level="II", specimens=both))
    assert (found["practical"].have, found["practical_instruction"].have) == (0, 0)
    assert found["practical_instruction"].need == Fraction(21, 2)
    made = practical("e1", "2025-01-01", level="II", specimens=both, instruction=INSTRUCTION)
    assert rows("ISO9712-2012", "II", ON, made)["practical"].have == 80
    found = rows("ISO9712-2012", "I", ON, practical("e1", "2025-01-01", specimens=both))
    assert found["practical"].have == 100 * Fraction(70, 85)
    assert "practical_instruction" not in found


def test_a_higher_mark_holds_for_each_specimen() -> None:
    """A stricter mark of the written practice is asked of each specimen."""
    own = practice("ISO9712-2012", **{"practical.pass": 80})
    made = practical("e1", "2025-01-01", specimens=specimens(67, 68))
    found = rows("ISO9712-2012", "I", ON, made, written_practice=own)
    assert found["practical_specimen_1"].verdict is Verdict.NOT_MET
    assert (found["practical_specimen_2"].verdict, found["practical_specimen_2"].need) == (Verdict.MET, 68)


def test_marks_of_several_specimens_together() -> None:
    """Employer schemes take all marks over all that could be reached."""
    made = practical("e1", "2025-01-01", specimens=[
        {"marks": 5, "of": 10, "checkpoints": 5}, {"marks": 19, "of": 20, "checkpoints": 5},
    ])  # fmt: skip
    assert rows("SNT-2020", "I", ON, made)["practical"].have == 80


def test_recertification_of_iso_9712_2012() -> None:
    """ISO 9712:2012 11.2.2 (read, S36): retests from day 7, within 6 months, two of them, no waiver."""
    base = {"level": "II", "purpose": "recertification", "instruction": INSTRUCTION}
    failed = practical("e1", "2025-01-31", specimens=specimens(50, 80), **base)
    help_given = training("e2", 4, date="2025-02-01", remedial_for="e1")
    for day, verdict in (
        ("2025-02-06", Verdict.NOT_MET),
        ("2025-02-07", Verdict.MET),
        ("2025-07-31", Verdict.MET),
        ("2025-08-01", Verdict.NOT_MET),
    ):
        again = practical("e3", day, specimens=specimens(80, 80), **base)
        found = rows("ISO9712-2012", "II", ON, failed, help_given, again)
        assert found["recert_retest"].verdict is verdict
        assert found["recert_practical"].verdict is verdict
    assert "recert_practical" not in rows("ISO9712-2021", "II", ON, failed)
    assert "recert_practical" not in rows("ISO9712-2012", "II", ON)


def test_age_of_results() -> None:
    """Results of 2012 are usable for 2 years through the same day, or for good once a certificate came in time."""
    made = passed("I", "2022-02-28", (30, 20))
    for on, verdict in (("2024-02-28", Verdict.MET), ("2024-02-29", Verdict.EXPIRED)):
        row = rows("ISO9712-2012", "I", on, *made)["exam_results_current"]
        assert (row.verdict, row.until) == (verdict, date(2024, 2, 28))
    for granted, verdict in (
        ("2024-02-28", Verdict.MET),
        ("2024-02-29", Verdict.EXPIRED),
        ("2022-02-27", Verdict.EXPIRED),
    ):
        row = rows("ISO9712-2012", "I", ON, *made, certificate("c", granted, "ISO9712-2012"))[
            "exam_results_current"
        ]
        assert row.verdict is verdict
    assert "exam_results_current" not in rows("ISO9712-2012", "I", ON, *made[:2])
    assert "exam_results_current" not in rows("SNT-2020", "I", ON, *passed())
