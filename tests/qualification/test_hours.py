"""Training and experience: which hours count, by the rules of the history format, section 5."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from tests.qualification.making import certificate, entry, experience, judge, practice, rows, training
from trainer.qualification import Row, Verdict

ON = "2025-06-30"


def held(scheme: str, level: str, row: str, *entries: dict[str, Any], **more: Any) -> Fraction:
    """What a row holds."""
    have = rows(scheme, level, ON, *entries, **more)[row].have
    assert have is not None
    return have


def run(identity: str, shifts: int, each: Any, **fields: Any) -> dict[str, Any]:
    """A run of equal shifts in March 2025."""
    days = {"since": "2025-03-03", "to": "2025-03-31", "shifts": shifts, "hours_each": each}
    method = {} if "methods" in fields else {"method": "MT"}
    return entry(identity, "experience", **{**method, **days, **fields})


def test_which_outline_counts() -> None:
    """Level I counts its own outline or none named; direct counts all; via Level I only the second."""
    made = [training("e1", 8), training("e2", 3, level="I"), training("e3", 5, level="II")]
    granted = certificate("e4", "2025-04-01", "SNT-2016")
    assert held("SNT-2020", "I", "training", *made) == 11
    assert held("SNT-2020", "II", "training", *made) == 16
    row = rows("SNT-2020", "II", ON, *made, granted)["training"]
    assert (row.have, row.need) == (5, 8)
    assert "only training under the Level II outline counts" in row.says


def test_a_certificate_of_another_family_opens_no_route() -> None:
    """Via Level I needs a certificate of the same family, in MT, that counts on the day."""
    made = training("e1", 20, level="I")
    for other in (
        certificate("e2", "2025-04-01", "ISO9712-2012"),
        {**certificate("e2", "2025-04-01", "SNT-2020"), "method": "PT"},
        certificate("e2", "2025-07-01", "SNT-2020"),
    ):
        assert rows("SNT-2020", "II", ON, made, other)["training"].need == 20


def test_remedial_training_and_practice_never_count() -> None:
    """Training set for a retest and own drills are no hours of training."""
    sitting = entry(
        "e1", "examination", part="general", method="MT", level="I", date="2025-01-01", right=1, of=40
    )
    made = [
        sitting,
        training("e2", 8, remedial_for="e1"),
        entry("e3", "practice", date="2025-03-01", hours=6),
    ]
    row = rows("SNT-2020", "I", ON, *made)["training"]
    assert row.have == 0
    assert "6 h of own practice" in row.says


@pytest.mark.parametrize(
    ("fields", "counts"),
    [
        ({"hours_tracked": True, "content_tracked": True, "examination": "passed"}, True),
        ({"hours_tracked": True, "content_tracked": True, "examination": "failed"}, False),
        ({"hours_tracked": True, "content_tracked": True}, False),
        ({"hours_tracked": True, "examination": "passed"}, False),
        ({"content_tracked": True, "examination": "passed"}, False),
    ],
)
def test_web_training_of_cp_189(fields: dict[str, Any], counts: bool) -> None:
    """CP-189 2016 Addendum 1, 4.1.1.1 (read, S12): web hours count with hours, content and examination tracked."""
    made = training("e1", 12, mode="web", **fields)
    assert held("CP189-2016-A1", "I", "training", made) == (12 if counts else 0)
    assert held("SNT-2020", "I", "training", made) == 12


def test_practical_training_of_iso_9712_is_in_person() -> None:
    """ISO 9712:2021 7.2 (read, S22): practical training counts only in person, in days of 7 h."""
    made = [
        training("e1", 7, mode="virtual"),
        training("e2", 7, mode="virtual", content="practical"),
        training("e3", 7, mode="laboratory", content="practical"),
    ]
    assert held("ISO9712-2021", "I", "training", *made) == 2


def test_two_years_of_college_shorten_the_training_of_2006() -> None:
    """SNT-TC-1A 2006 Table 6.3.1A (S05, S06): 8 + 4 h with two years of engineering or science."""
    study = {"date": "2006-06-30", "field": "science", "completed_years": 2}
    assert rows("SNT-2006", "I", ON)["training"].need == 12
    assert rows("SNT-2006", "I", ON, entry("e1", "education", **study))["training"].need == 8
    assert rows("SNT-2006", "II", ON, entry("e1", "education", **study))["training"].need == 12
    for change in ({"field": "other"}, {"completed_years": 1}):
        assert (
            rows("SNT-2006", "I", ON, entry("e1", "education", **{**study, **change}))["training"].need == 12
        )
    assert rows("SNT-2020", "I", ON, entry("e1", "education", **study))["training"].need == 12


def test_a_reduction_is_the_employers() -> None:
    """Under a later edition an education lowers the need only by the written practice's percentage."""
    study = entry("e1", "education", date="2006-06-30", field="engineering", completed_years=4)
    own = practice("SNT-2020", **{"education.reduction_percent": 25})
    assert rows("SNT-2020", "II", ON, study, written_practice=own)["training"].need == 15
    assert rows("SNT-2020", "II", ON, written_practice=own)["training"].need == 20


def test_via_level_i_counts_from_the_grant_on() -> None:
    """Via Level I only work that began on or after the earliest grant counts."""
    granted = [certificate("e1", "2025-03-10", "SNT-2016"), certificate("e2", "2025-05-01", "SNT-2020")]
    made = [experience("e3", 8, "2025-03-09"), experience("e4", 7, "2025-03-10"), run("e5", 10, 8)]
    row = rows("SNT-2020", "II", ON, *granted, *made)["experience_method"]
    assert (row.have, row.need) == (7, 210)
    assert "88 h begun before the Level I certificate of 2025-03-10 are already spent" in row.says


def test_what_was_worked_before_the_grant_counts_where_no_route_begins_with_it() -> None:
    """A Level I certificate spends no work for Level I itself, nor for the one set of figures of the central programme."""
    made = experience("e1", 8, "2025-03-09")
    for scheme, level in (("SNT-2020", "I"), ("ACCP-II", "II")):
        granted = certificate("e2", "2025-03-10", scheme, "I")
        assert held(scheme, level, "experience_method", granted, made) == 8


@pytest.mark.parametrize(
    ("scheme", "level", "granted", "route"),
    [
        ("SNT-2020", "I", None, "first certification"),
        ("SNT-2020", "II", None, "direct"),
        ("SNT-2020", "II", "2025-03-10", "via Level I, granted 2025-03-10"),
        ("ACCP-II", "II", None, "one set of figures"),
    ],
)
def test_the_route_is_told(scheme: str, level: str, granted: str | None, route: str) -> None:
    """In which way Level II was judged stands in the standing; a scheme with one set of figures has no ways."""
    made = [certificate("e1", granted, scheme, "I")] if granted else []
    assert judge(scheme, level, "2025-12-31", *made).route == route


def test_two_untimed_entries_of_a_day_are_different_hours() -> None:
    """Without clock times two entries of one day add up (V4)."""
    made = [experience("e1", 8), experience("e2", 8, method="PT")]
    assert held("SNT-2020", "I", "experience_total", *made) == 16
    assert held("SNT-2020", "I", "experience_method", *made) == 8


def test_clock_times_that_overlap_count_once() -> None:
    """A moment counts once in the total, and in MT only if no other method covers it (V4)."""
    made = [
        experience("e1", 4, start="08:00"),
        experience("e2", 4, start="10:00"),
        experience("e3", 2, start="11:00", method="PT"),
    ]
    row = rows("SNT-2020", "I", ON, *made)
    assert row["experience_total"].have == 6
    assert row["experience_method"].have == 4
    assert "h lie over each other" in row["experience_total"].says


def test_a_split_divides_shared_hours() -> None:
    """Shared hours count for no single method until they are split, then each part for its own."""
    shared = experience("e1", 8, methods=["MT", "PT"])
    assert held("SNT-2020", "I", "experience_method", shared) == 0
    assert held("SNT-2020", "I", "experience_total", shared) == 8
    divided = {**shared, "split": {"MT": "3.5", "PT": "4.5"}}
    assert held("SNT-2020", "I", "experience_method", divided) == Fraction(7, 2)
    assert held("SNT-2020", "I", "experience_total", divided) == 8


def test_laboratory_hours_are_no_experience_unless_the_practice_says() -> None:
    """Laboratory time never counts (S52, S53), or by the share of the written practice."""
    made = [experience("e1", 8), run("e2", 5, 8, nature="laboratory")]
    assert held("SNT-2020", "I", "experience_method", *made) == 8
    own = practice("SNT-2020", **{"laboratory.percent": 25})
    assert held("SNT-2020", "I", "experience_method", *made, written_practice=own) == 18


def test_twelve_hours_of_a_day_at_most() -> None:
    """ISO 9712:2021 7.3 (read, S23): at most 12 h of one day; runs by the shift, single entries by the date."""
    assert held("ISO9712-2021", "I", "experience_method", run("e1", 7, 14)) == 12
    singles = [experience("e1", 9), experience("e2", 9), experience("e3", 5, "2025-04-02", start="07:00")]
    assert held("ISO9712-2021", "I", "experience_method", *singles) == Fraction(17, 7)
    part = run("e1", 7, 14, methods=["MT", "PT"], split={"MT": 91, "PT": 7})
    assert held("ISO9712-2021", "I", "experience_method", part) == 12


@pytest.mark.parametrize(("level", "sum_need", "method_need"), [("I", Fraction(3, 2), 1), ("II", 6, 2)])
def test_two_methods_learned_together(level: str, sum_need: Fraction, method_need: int) -> None:
    """ISO 9712:2005 (S42): 25 percent off the sum of two methods, half of each and one month at least."""
    applied = {"date": "2025-01-01", "scheme": "ISO9712-2012", "level": level}
    made = [run("e1", 20, 8), run("e2", 20, 8, method="PT")]
    both = entry("e3", "application", methods=["PT", "MT"], **applied)
    row = rows("ISO9712-2012", level, ON, *made, both)
    assert (row["experience_sum_reduced"].have, row["experience_sum_reduced"].need) == (2, sum_need)
    assert (row["experience_method"].have, row["experience_method"].need) == (1, method_need)
    alone = {**both, "id": "e4", "methods": ["MT"], "date": "2025-02-01"}
    assert "experience_sum_reduced" not in rows("ISO9712-2012", level, ON, *made, both, alone)
    three = {**both, "id": "e4", "methods": ["MT", "PT", "UT"], "date": "2025-02-01"}
    assert "experience_sum_reduced" not in rows("ISO9712-2012", level, ON, *made, both, three)
    other = {**both, "level": "I" if level == "II" else "II"}
    assert "experience_sum_reduced" not in rows("ISO9712-2012", level, ON, *made, other)


def test_training_before_the_examination() -> None:
    """ISO 9712:2012 7.1 (S74): training complete by the first sitting, void or not."""
    sitting = entry(
        "e1", "examination", part="general", method="MT", level="I", date="2025-03-05", right=1, of=10
    )
    made = [
        training("e2", 12, date="2025-03-04"),
        training("e3", 4, date="2025-03-05"),
        training("e4", 9, date="2025-03-06"),
    ]
    made = [{**item, "hours": 8} for item in made]
    row = rows("ISO9712-2012", "I", ON, sitting, *made)["training_before_exam"]
    assert (row.verdict, row.have, row.need) == (Verdict.MET, 16, 16)
    row = rows("ISO9712-2012", "I", ON, sitting, made[0], made[2])["training_before_exam"]
    assert (row.verdict, row.have) == (Verdict.NOT_MET, 8)
    assert "training_before_exam" not in rows("ISO9712-2012", "I", ON, *made)
    assert "training_before_exam" not in rows("ISO9712-2021", "I", ON, sitting, *made)


@pytest.mark.parametrize(("hours", "share"), [((20, 20), 50), ((10, 30), 75), ((0, 0), None)])
def test_practical_share_is_a_maximum(hours: tuple[int, int], share: int | None) -> None:
    """The central programme (S09): half of the training at most may be practical."""
    theory, exercise = hours
    made = [training("e1", theory), training("e2", exercise, content="practical", mode="laboratory")]
    row = rows("ACCP-II", "II", ON, *made)["training_practical_share"]
    assert row.have == share
    assert (row.verdict is Verdict.MET) == (share == 50)


def test_theory_that_makes_up_for_too_much_practice_is_told() -> None:
    """Thirty practical hours are half of sixty, so beside ten of theory twenty are missing, and with them it is met."""
    made = [training("e1", 10), training("e2", 30, content="practical", mode="laboratory")]
    assert "20 h more of theory" in rows("ACCP-II", "II", ON, *made)["training_practical_share"].missing
    row = rows("ACCP-II", "II", ON, *made, training("e3", 20))["training_practical_share"]
    assert (row.verdict, row.have) == (Verdict.MET, 50)


def _missing(row: Row) -> str:
    assert row.missing in row.says or row.missing[0].upper() + row.missing[1:] in row.says
    return row.missing


def test_the_shortest_way_is_told() -> None:
    """What is missing names the hours; a countersignature is asked for where it is enough."""
    more = _missing(rows("SNT-2020", "I", ON, experience("e1", 8))["experience_method"])
    assert more == (
        "shortest way: 62 h more of work in MT, entered by one and countersigned by another: "
        "the supervisor, a referee, the Level III or the employer"
    )
    waiting = run("e1", 9, 8)
    del waiting["countersigned_by"]
    sign = _missing(rows("SNT-2020", "I", ON, waiting)["experience_method"])
    assert sign.startswith("70 h short; shortest way: have e1 countersigned by the supervisor")
    waiting = {key: value for key, value in training("e1", 12).items() if key != "countersigned_by"}
    assert "have e1 countersigned by an instructor" in _missing(
        rows("SNT-2020", "I", ON, waiting)["training"]
    )


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"countersigned_by": {"person": "Ian", "role": "level_iii"}}, "Ian entered it"),
        ({"countersigned_by": {"person": "Tess", "role": "employer"}}, "the person concerned countersigned"),
        ({"countersigned_by": {"person": "Emma", "role": "clerk"}}, "a clerk may not countersign it"),
        ({"countersigned_by": {"person": "Emma", "role": "instructor"}}, "an instructor may not countersign"),
        ({"countersigned_by": None}, "nobody countersigned it"),
    ],
)
def test_who_may_countersign(change: dict[str, Any], why: str) -> None:
    """Another person than the one who entered and the one concerned, in a role entitled to it."""
    made = {key: value for key, value in {**run("e1", 9, 8), **change}.items() if value is not None}
    row = rows("SNT-2020", "I", ON, made)["experience_method"]
    assert row.have == 0
    assert why in row.says


def test_a_reversal_needs_who_may_countersign_the_entry() -> None:
    """A reversal countersigned by somebody not entitled for the entry changes nothing."""
    made = run("e1", 9, 8)
    back = entry("e2", "reversal", date="2025-07-20", reverses="e1", reason="another person's shifts")
    assert held("SNT-2020", "I", "experience_method", made, back) == 0
    weak = {**back, "countersigned_by": {"person": "Emma", "role": "examiner"}}
    assert held("SNT-2020", "I", "experience_method", made, weak) == 72
