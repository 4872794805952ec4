"""Vision, certificates, employment and absences: what stands, until when (history format, section 7)."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest

from tests.qualification.making import (
    certificate,
    colour,
    entry,
    experience,
    judge,
    near,
    practice,
    rows,
    written,
)
from trainer.qualification import Verdict
from trainer.qualification.days import last_day_of, last_valid_day, plus_days, plus_months, plus_years

ON = "2025-06-30"


@pytest.mark.parametrize(
    ("start", "months", "end"),
    [
        ("2024-08-31", 6, "2025-02-28"),
        ("2023-08-31", 6, "2024-02-29"),
        ("2024-02-29", 12, "2025-02-28"),
        ("2024-02-29", 48, "2028-02-29"),
        ("2025-01-31", 1, "2025-02-28"),
        ("2025-11-30", 3, "2026-02-28"),
        ("2025-06-30", 0, "2025-06-30"),
        ("9999-06-30", 12, "9999-12-31"),
        ("9999-11-30", 1, "9999-12-30"),
    ],
)
def test_adding_months(start: str, months: int, end: str) -> None:
    """Months are added to the same day, clipped to the month's last (V7), and never beyond the calendar."""
    assert plus_months(date.fromisoformat(start), months) == date.fromisoformat(end)


@pytest.mark.parametrize(
    ("year", "month", "days"), [(2024, 2, 29), (2100, 2, 28), (2025, 4, 30), (2025, 12, 31), (9999, 12, 31)]
)
def test_days_of_a_month(year: int, month: int, days: int) -> None:
    """Leap years, and the last month that the calendar knows."""
    assert last_day_of(year, month) == days


def test_adding_years_and_days() -> None:
    """A leap-day check ends on 28 February (V1); five years end a day before the anniversary (V2)."""
    assert plus_years(date(2024, 2, 29), 1) == date(2025, 2, 28)
    assert last_valid_day(date(2022, 4, 1), 5) == date(2027, 3, 31)
    assert last_valid_day(date(2024, 2, 29), 5) == date(2029, 2, 27)
    assert plus_days(date(2025, 1, 31), 30) == date(2025, 3, 2)
    assert plus_days(date(9999, 12, 31), 30) == date(9999, 12, 31)


ACCEPTED = [
    ("SNT-2020", "jaeger_2", True),
    ("SNT-2020", "n4.5", True),
    ("SNT-2020", "other", False),
    ("CP189-2016-A1", "jaeger_2", False),
    ("CP189-2016-A1", "jaeger_1", True),
    ("NAS410-EN4179", "jaeger_2", False),
    ("NAS410-EN4179", "iso_18490", True),
    ("ISO9712-2021", "jaeger_2", False),
    ("ISO9712-2012", "n4.5", True),
]


@pytest.mark.parametrize(("scheme", "chart", "accepted"), ACCEPTED)
def test_charts(scheme: str, chart: str, accepted: bool) -> None:
    """Which charts a scheme takes."""
    row = rows(scheme, "I", ON, near("e1", "2025-01-01", chart=chart))["vision_near"]
    assert (row.verdict is Verdict.MET) == accepted
    assert accepted or f"the chart {chart}" in row.says


@pytest.mark.parametrize(
    ("scheme", "distance", "accepted"),
    [
        ("SNT-2020", "30.48", True),
        ("SNT-2020", "30.47", False),
        ("CP189-2016-A1", "30", False),
        ("NAS410-EN4179", "30", True),
        ("ISO9712-2021", "29.99", False),
        ("SNT-2020", None, True),
    ],
)
def test_distances(scheme: str, distance: str | None, accepted: bool) -> None:
    """Twelve inches are 30.48 cm, exactly; a distance that is not given is not judged, and this is said."""
    row = rows(scheme, "I", ON, near("e1", "2025-01-01", distance_cm=distance))["vision_near"]
    assert (row.verdict is Verdict.MET) == accepted
    assert ("not judged" in row.says) == (distance is None)


def test_walking_the_checks() -> None:
    """An acceptable pass is kept, a failed check drops it, an unacceptable one is passed over."""
    kept = near("e1", "2024-09-01")
    assert rows("SNT-2020", "I", ON, kept)["vision_near"].until == date(2025, 9, 1)
    poor = near("e2", "2025-01-01", chart="other")
    assert rows("SNT-2020", "I", ON, kept, poor)["vision_near"].until == date(2025, 9, 1)
    failed = near("e3", "2025-02-01", result="fail", chart="other")
    row = rows("SNT-2020", "I", ON, kept, poor, failed)["vision_near"]
    assert (row.verdict, row.until) == (Verdict.NOT_MET, None)
    assert "was failed" in row.says
    again = near("e4", "2025-02-01")
    assert rows("SNT-2020", "I", ON, kept, failed, again)["vision_near"].verdict is Verdict.MET
    assert rows("SNT-2020", "I", ON, kept, again, failed)["vision_near"].verdict is Verdict.NOT_MET


def test_an_old_check_runs_out_rather_than_failing() -> None:
    """The last good day is good; the day after it the row is expired, and `until` is still shown."""
    for on, verdict in (("2025-02-28", Verdict.MET), ("2025-03-01", Verdict.EXPIRED)):
        row = rows("SNT-2020", "I", on, near("e1", "2024-02-29"))["vision_near"]
        assert (row.verdict, row.until) == (verdict, date(2025, 2, 28))


def test_colour_vision_by_scheme() -> None:
    """Five years in most schemes, once in ISO 9712:2012 (S27), not asked in the central programme."""
    made = colour("e1", "2015-01-01", result="restricted", restriction="no red on brown")
    row = rows("SNT-2020", "I", ON, made)["vision_colour"]
    assert (row.verdict, row.until) == (Verdict.EXPIRED, date(2020, 1, 1))
    assert "Restriction: no red on brown" in row.says
    whole = rows("SNT-2020", "I", ON, colour("e1", "2025-01-01"))["vision_colour"]
    assert "estriction" not in whole.says
    row = rows("ISO9712-2012", "I", ON, made)["vision_colour"]
    assert (row.verdict, row.until) == (Verdict.MET, None)
    own = practice("ISO9712-2012", **{"vision_colour.years": 5})
    assert (
        rows("ISO9712-2012", "I", ON, made, written_practice=own)["vision_colour"].verdict is Verdict.EXPIRED
    )
    assert "vision_colour" not in rows("ACCP-II", "II", ON, made)
    assert "vision_near" not in rows("ISO9712-2005", "I", ON, made)


def test_near_vision_on_the_day_of_application() -> None:
    """The central programme judges near vision on the day of the newest application."""
    applied = {"scheme": "ACCP-II", "level": "II", "methods": ["MT"]}
    check = near("e1", "2024-01-10", chart="other", distance_cm=10)
    assert rows("ACCP-II", "II", ON, check)["vision_near"].verdict is Verdict.EXPIRED
    for day, verdict in (
        ("2024-01-09", Verdict.NOT_MET),
        ("2025-01-10", Verdict.MET),
        ("2025-01-11", Verdict.EXPIRED),
    ):
        made = entry("e2", "application", date=day, **applied)
        assert rows("ACCP-II", "II", ON, check, made)["vision_near"].verdict is verdict


def test_vision_before_the_examination() -> None:
    """ISO 9712:2012 (S74): near vision as it stands on the day of the first sitting, which may be a void one."""
    sitting = written("e1", "general", "2025-03-10", 1, 5)
    for day, verdict in (
        ("2025-03-10", Verdict.MET),
        ("2025-03-11", Verdict.NOT_MET),
        ("2024-03-10", Verdict.MET),
        ("2024-03-09", Verdict.NOT_MET),
    ):
        assert (
            rows("ISO9712-2012", "I", ON, sitting, near("e2", day))["vision_before_exam"].verdict is verdict
        )
    assert "vision_before_exam" not in rows("ISO9712-2021", "I", ON, sitting)


def test_certificates_by_level_family_and_own_end() -> None:
    """The newest certificate of family and level counts, to its own end if that is earlier."""
    made = [
        certificate("e1", "2021-01-11", "SNT-2011"),
        certificate("e2", "2023-05-01", "SNT-2020", until="2025-06-29"),
        certificate("e3", "2024-01-01", "SNT-2020", "II"),
        certificate("e4", "2024-01-01", "ISO9712-2021"),
    ]
    row = rows("SNT-2020", "I", ON, *made)["certificate_current"]
    assert (row.verdict, row.until) == (Verdict.EXPIRED, date(2025, 6, 29))
    assert rows("SNT-2016", "II", ON, *made)["certificate_current"].until == date(2028, 12, 31)
    assert "certificate_current" not in rows("NAS410-EN4179", "I", ON, *made)
    brief = certificate("e2", "2023-05-01", "SNT-2020", until="2023-05-01")
    assert rows("SNT-2020", "I", ON, brief)["certificate_current"].until == date(2023, 5, 1)
    late = certificate("e2", "2023-05-01", "SNT-2020", until="2040-01-01")
    assert rows("SNT-2020", "I", ON, late)["certificate_current"].until == date(2028, 4, 30)


def job(identity: str, event: str, day: str, **fields: Any) -> dict[str, Any]:
    """Employment at Tarn Valley."""
    return entry(identity, "employment", date=day, event=event, employer="Tarn Valley", **fields)


def test_a_certificate_ends_with_the_job() -> None:
    """Employer schemes: the certificate ends with the employment, unless a rehire reinstates it."""
    granted = certificate("e1", "2023-01-10", "SNT-2020")
    ended = job("e2", "ended", "2024-12-31")
    row = rows("SNT-2020", "I", ON, granted, ended)["certificate_current"]
    assert (row.verdict, row.until) == (Verdict.EXPIRED, date(2024, 12, 31))
    back = job("e3", "rehired", "2025-06-30", records_kept=True)
    found = rows("SNT-2020", "I", ON, granted, ended, back)
    assert found["certificate_current"].until == date(2028, 1, 9)
    assert found["reinstatement_without_exam"].verdict is Verdict.MET
    again = job("e4", "ended", "2025-06-30")
    found = rows("SNT-2020", "I", ON, granted, ended, back, again)
    assert found["certificate_current"].until == date(2025, 6, 30)
    nas = [{**granted, "scheme": "NAS410-EN4179"}, ended]
    assert rows("NAS410-EN4179", "I", ON, *nas)["certificate_current"].until == date(2028, 1, 9)


@pytest.mark.parametrize(
    ("scheme", "rehired", "kept", "granted", "says"),
    [
        ("SNT-2020", "2025-07-01", True, "2023-01-10", "came after 2025-06-30"),
        ("SNT-2020", "2025-06-30", None, "2023-01-10", "kept the records"),
        ("SNT-2020", "2025-06-30", False, "2023-01-10", "kept the records"),
        ("SNT-2020", "2025-06-30", True, "2020-06-30", "ran out on 2025-06-29"),
        ("SNT-2020", "2025-06-30", True, "2020-07-01", None),
        ("CP189-2016-A1", "2025-12-31", True, "2023-01-10", None),
        ("CP189-2016-A1", "2026-01-01", True, "2023-01-10", "came after 2025-12-31"),
    ],
)
def test_reinstatement(scheme: str, rehired: str, kept: bool | None, granted: str, says: str | None) -> None:
    """Rehire within 6 months (SNT-TC-1A) or 12 (CP-189), records kept, certificate not run out meanwhile (S13)."""
    made = [
        certificate("e1", granted, scheme),
        job("e2", "ended", "2024-12-31"),
        job("e3", "rehired", rehired, records_kept=kept),
    ]
    row = rows(scheme, "I", "2026-02-01", *made)["reinstatement_without_exam"]
    assert (row.verdict is Verdict.MET) == (says is None)
    assert says is None or says in row.says


def test_no_reinstatement_where_it_has_no_place() -> None:
    """No row without an end before the rehire, nor once a certificate was granted on or after the rehire."""
    granted, ended = certificate("e1", "2023-01-10", "SNT-2020"), job("e2", "ended", "2024-12-31")
    back = job("e3", "rehired", "2025-03-01", records_kept=True)
    assert "reinstatement_without_exam" not in rows("SNT-2020", "I", ON, granted, back)
    assert "reinstatement_without_exam" not in rows("SNT-2020", "I", ON, granted, ended)
    anew = certificate("e4", "2025-03-01", "SNT-2020")
    assert "reinstatement_without_exam" not in rows("SNT-2020", "I", ON, granted, ended, back, anew)
    assert "reinstatement_without_exam" not in rows("NAS410-EN4179", "I", ON, granted, ended, back)
    without = rows("SNT-2020", "I", ON, ended, back)["reinstatement_without_exam"]
    assert "No certificate was granted" in without.says


def test_twelve_months_without_use() -> None:
    """CP-189 (S13) and NAS 410: the last proof of work, or the grant, is good for 12 months, then not met."""
    granted = certificate("e1", "2023-01-10", "CP189-2016-A1")
    cases = [
        ([], date(2024, 1, 10)),
        ([entry("e2", "work", date="2024-06-30", method="MT")], date(2025, 6, 30)),
        ([entry("e2", "work", date="2024-06-30", method="PT")], date(2024, 1, 10)),
        ([experience("e2", 1, "2024-06-29", methods=["MT", "PT"])], date(2025, 6, 29)),
        ([experience("e2", 1, "2024-06-29", nature="laboratory")], date(2024, 1, 10)),
    ]
    for made, until in cases:
        row = rows("CP189-2016-A1", "I", ON, granted, *made)["continued_performance"]
        assert row.until == until
        assert row.verdict is (Verdict.MET if until >= date(2025, 6, 30) else Verdict.NOT_MET)
    assert "continued_performance" not in rows(
        "SNT-2020", "I", ON, certificate("e1", "2023-01-10", "SNT-2020")
    )
    own = practice("SNT-2020", **{"interruption.months": 24})
    found = rows("SNT-2020", "I", ON, certificate("e1", "2023-01-10", "SNT-2020"), written_practice=own)
    assert found["continued_performance"].until == date(2025, 1, 10)


def away(identity: str, first: str, last: str | None, reason: str = "other") -> dict[str, Any]:
    """An absence."""
    return entry(identity, "absence", since=first, to=last, reason=reason)


ABSENCES: list[tuple[str, list[dict[str, Any]], bool]] = [
    ("a year less a day", [away("e1", "2023-01-11", "2024-01-10")], True),
    ("a year", [away("e1", "2023-01-11", "2024-01-11")], False),
    ("a leap year", [away("e1", "2024-02-29", "2025-02-27")], True),
    ("from a leap day on", [away("e1", "2024-02-29", "2025-02-28")], False),
    ("touching", [away("e1", "2023-01-11", "2023-07-10"), away("e2", "2023-07-11", "2024-01-11")], False),
    ("overlapping", [away("e2", "2023-07-11", "2024-01-11"), away("e1", "2023-01-11", "2023-08-10")], False),
    ("a day between", [away("e1", "2023-01-11", "2023-07-10"), away("e2", "2023-07-12", "2024-01-11")], True),
    (
        "touching, after one apart",
        [away("e1", "2020-01-01", "2020-01-01"), away("e2", "2023-01-11", "2023-07-10"), away("e3", "2023-07-11", "2024-01-11")],
        False,
    ),
    (
        "466 days, two of the four touching",
        [away("e1", "2020-01-01", "2020-01-01"), away("e2", "2022-01-01", "2022-12-30"), away("e3", "2022-12-31", "2022-12-31"), away("e4", "2024-01-01", "2024-04-09")],
        True,
    ),
    (
        "731 days, one absence within another",
        [away("e1", "2020-01-01", "2020-01-01"), away("e2", "2022-02-01", "2023-01-31"), away("e3", "2022-02-05", "2022-02-10"), away("e4", "2023-03-01", "2024-02-28")],
        False,
    ),
    ("lasting", [away("e1", "2024-06-30", None)], False),
    ("lasting less", [away("e1", "2024-07-01", None)], True),
    ("beyond the day asked", [away("e1", "2024-07-01", "2026-12-31")], True),
    ("not begun", [away("e1", "2025-07-01", "2029-12-31"), away("e2", "2025-01-01", "2025-01-02")], True),
    ("730 days in two", [away("e1", "2022-01-01", "2022-12-31"), away("e2", "2023-02-01", "2024-01-31")], True),
    ("731 in two", [away("e1", "2022-06-01", "2023-05-31"), away("e2", "2024-01-01", "2024-12-31")], False),
    (
        "731 days in three",
        [away("e1", "2022-01-01", "2022-12-31"), away("e2", "2023-02-01", "2024-01-31"), away("e3", "2024-03-01", "2024-03-01")],
        False,
    ),
    (
        "short holidays left out",
        [away("e1", "2022-01-01", "2022-12-31"), away("e2", "2023-02-01", "2024-01-31"), away("e3", "2024-03-01", "2024-03-29", "holiday")],
        True,
    ),
    (
        "thirty days of holiday",
        [away("e1", "2022-01-01", "2022-12-31"), away("e2", "2023-02-01", "2024-01-31"), away("e3", "2024-03-01", "2024-03-30", "sickness")],
        False,
    ),
    (
        "before the certificate",
        [away("e1", "2022-01-01", "2024-06-30"), certificate("c", "2024-01-01", "ISO9712-2012")],
        True,
    ),
]  # fmt: skip


@pytest.mark.parametrize(("name", "made", "met"), ABSENCES, ids=[name for name, _, _ in ABSENCES])
def test_significant_interruption(name: str, made: list[dict[str, Any]], met: bool) -> None:
    """Over a year at a stretch, or over 730 days in two or more (S33, S34; counted by V9)."""
    row = rows("ISO9712-2021", "I", ON, *made)["no_significant_interruption"]
    assert (row.verdict is Verdict.MET) == met, row.says
    assert "no_significant_interruption" not in rows("SNT-2020", "I", ON, *made)
    assert "no_significant_interruption" not in rows("ISO9712-2021", "I", ON)


def test_remarks_say_what_was_left_out() -> None:
    """Entries to come, reversed entries and figures that are missing are told beside the rows."""
    back = entry("e3", "reversal", date="2025-05-01", reverses="e2", reason="mistake")
    judged = judge("SNT-2006", "I", ON, near("e1", "2025-07-01"), near("e2", "2025-01-01"), back, person=None)
    remarks = " ".join(judged.remarks)
    assert "e1 is not over by 2025-06-30" in remarks
    assert "e2 was reversed" in remarks
    assert "Not judged: total hours in NDT" in remarks
    assert "names no person" in remarks
    assert "certif" in judged.says or "not all met" in judged.says
