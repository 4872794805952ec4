"""Laws that hold for every history: found by trying hundreds of invented ones."""

from __future__ import annotations

import json
from collections.abc import Callable
from datetime import date, timedelta
from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tests.qualification.making import (
    certificate,
    colour,
    entry,
    experience,
    history,
    judge,
    near,
    practical,
    reversal,
    schemes,
    text_of,
    training,
    written,
)
from trainer.qualification import Level, Row, Standing, Verdict, read_history, standing, write_history
from trainer.qualification.entries import Experience
from trainer.qualification.experience import hours_for

ON = "2025-06-30"
WORSE = {Verdict.MET: 0, Verdict.EXPIRED: 1, Verdict.NOT_MET: 2}
ASKED = [
    (scheme, level)
    for scheme in sorted(schemes())
    for level in ("I", "II")
    if scheme != "ACCP-II" or level == "II"
]
Made = dict[str, Any]
quick = settings(max_examples=60)


@st.composite
def days(draw: st.DrawFn, first: date = date(2022, 1, 1), last: date = date(2025, 12, 31)) -> str:
    """A day of some years, also after the day asked."""
    return draw(st.dates(first, last)).isoformat()


def _sitting(draw: st.DrawFn, identity: str, day: str, level: str) -> Made:
    if draw(st.booleans()):
        of = draw(st.sampled_from([15, 20, 30, 40]))
        part = draw(st.sampled_from(["general", "specific"]))
        return written(identity, part, day, draw(st.integers(of // 2, of)), of, level)
    return practical(identity, day, draw(st.integers(50, 85)), 85, level)


@st.composite
def facts(draw: st.DrawFn, identity: str) -> Made:
    """One entry of the kinds that change rows, now and then without a countersignature."""
    day, level = draw(days()), draw(st.sampled_from(["I", "II"]))
    kinds: list[Callable[[], Made]] = [
        lambda: training(
            identity, draw(st.integers(1, 24)), date=day, level=draw(st.sampled_from([None, "I", "II"]))
        ),
        lambda: experience(
            identity, draw(st.integers(1, 12)), day, method=draw(st.sampled_from(["MT", "PT"]))
        ),
        lambda: _sitting(draw, identity, day, level),
        lambda: near(identity, day, result=draw(st.sampled_from(["pass", "pass", "fail"]))),
        lambda: colour(identity, day),
        lambda: certificate(identity, day, draw(st.sampled_from(["SNT-2020", "ISO9712-2021"])), level),
        lambda: entry(identity, "absence", since=day, reason="other"),
        lambda: entry(
            identity, "employment", date=day, event=draw(_events), employer="Tarn Valley", records_kept=True
        ),
        lambda: entry(identity, "work", date=day, method="MT"),
    ]
    made = draw(st.sampled_from(kinds))()
    if draw(st.integers(0, 7)) == 0:
        del made["countersigned_by"]
    return made


_events = st.sampled_from(["began", "ended", "rehired"])


@st.composite
def histories(draw: st.DrawFn, most: int = 12) -> list[Made]:
    """A list of entries e0, e1 and so on."""
    return [draw(facts(f"e{number}")) for number in range(draw(st.integers(0, most)))]


asked = st.sampled_from(ASKED)


def shown(judged: Standing) -> list[tuple[Any, ...]]:
    """What a standing says without the words."""
    return [(r.id, r.verdict, r.have, r.need, r.unit, r.until, r.further) for r in judged.prerequisites]


@quick
@given(histories(), asked, st.integers(1, 12), days(last=date(2025, 6, 30)), st.booleans())
def test_more_hours_never_make_it_worse(
    made: list[Made], which: tuple[str, str], hours: int, day: str, of_training: bool
) -> None:
    """Another verified hour of work or theory never lowers what is held nor worsens a verdict."""
    level = {"level": which[1]} if of_training else {}
    more = training("more", hours, date=day, **level) if of_training else experience("more", hours, day)
    before, after = judge(*which, ON, *made), judge(*which, ON, *made, more)
    rows = {row.id: row for row in after.prerequisites}
    for row in before.prerequisites:
        later = rows[row.id]
        assert WORSE[later.verdict] <= WORSE[row.verdict]
        if row.id.startswith(("training", "experience")) and row.have is not None and row.need == later.need:
            assert row.id == "training_practical_share" or (later.have is not None and later.have >= row.have)
    assert WORSE[after.overall] <= WORSE[before.overall]


@quick
@given(histories(), facts("x"), asked, days())
def test_a_reversal_undoes_exactly(made: list[Made], extra: Made, which: tuple[str, str], day: str) -> None:
    """An entry and its verified reversal, of whatever date, leave every row as it was."""
    with_both = [*made, extra, reversal("r", "x", day)]
    if "countersigned_by" not in extra:
        del with_both[-1]["countersigned_by"]
    else:
        with_both[-1]["countersigned_by"] = extra["countersigned_by"]
    assert shown(judge(*which, ON, *made)) == shown(judge(*which, ON, *with_both))


@quick
@given(histories(most=10), asked, st.randoms(use_true_random=False))
def test_order_of_entry_does_not_matter(made: list[Made], which: tuple[str, str], chance: Any) -> None:
    """Only facts of one day are told apart by their place: with different days any order gives the same."""
    for number, item in enumerate(made):
        key = "from" if "from" in item and "to" not in item else "date"
        item[key] = (date(2024, 1, 1) + timedelta(days=37 * number)).isoformat()
    mixed = list(made)
    chance.shuffle(mixed)
    assert shown(judge(*which, ON, *made)) == shown(judge(*which, ON, *mixed))


@quick
@given(histories(), asked)
def test_what_is_not_countersigned_or_not_over_changes_nothing(
    made: list[Made], which: tuple[str, str]
) -> None:
    """Unverified entries and entries after the day asked can be left out without changing a row."""
    kept = [
        item for item in made if "countersigned_by" in item and item.get("date", item.get("from", "")) <= ON
    ]
    assert shown(judge(*which, ON, *made)) == shown(judge(*which, ON, *kept))


@quick
@given(histories(), asked)
def test_the_overall_verdict_follows_the_rows(made: list[Made], which: tuple[str, str]) -> None:
    """Not met before expired before met; each unmet row says what is missing; nobody is certified by it."""
    judged = judge(*which, ON, *made)
    verdicts = {row.verdict for row in judged.prerequisites}
    worst = max(verdicts, key=lambda verdict: WORSE[verdict])
    assert judged.overall == worst
    assert {row.id for row in judged.prerequisites if row.verdict != Verdict.MET} >= dict(
        judged.missing
    ).keys()
    for row in judged.prerequisites:
        assert row.says
        assert row.clause
        assert row.verdict is Verdict.MET or row.missing
        assert "certified" not in row.says


@quick
@given(histories())
def test_what_is_written_is_read_back(made: list[Made]) -> None:
    """Writing a history and reading it again gives the same entries, and writing that the same text."""
    first = history(*made)
    text = write_history(first)
    again = read_history(text, "again")
    assert again == first
    assert write_history(again) == text


odd_text = st.text(
    st.characters(codec="utf-8", exclude_categories=["Cs"], exclude_characters="\x00"),
    min_size=1,
    max_size=40,
).filter(lambda text: text.strip() == text and text != "")


@quick
@given(odd_text, odd_text, st.decimals(0, 24, places=4, allow_nan=False, allow_infinity=False))
def test_odd_names_and_long_decimals_survive(person: str, note: str, hours: Any) -> None:
    """Any text and any plain decimal comes back as it was written, from JSON and from our own writing."""
    made = experience("e1", f"{hours:f}")
    made["entered_by"]["person"], made["note"] = person, note
    first = history(made)
    (only,) = first.entries
    assert only.entered_by.person == person
    assert only.kept["note"] == note
    assert isinstance(only, Experience)
    assert only.hours == Fraction(f"{hours:f}")
    assert read_history(write_history(first), "again") == first


@st.composite
def clocked(draw: st.DrawFn) -> list[Experience]:
    """Entries with clock times on one day, in three methods."""
    made = []
    for number in range(draw(st.integers(1, 6))):
        start = draw(st.integers(0, 23))
        hours = draw(st.integers(0, 24 - start))
        method = draw(st.sampled_from(["MT", "PT", "UT"]))
        made.append(experience(f"e{number}", hours, "2025-04-01", method=method, start=f"{start:02d}:00"))
    return [item for item in history(*made).entries if isinstance(item, Experience)]


@quick
@given(clocked(), st.sampled_from([frozenset({"MT"}), frozenset({"MT", "PT"}), None]))
def test_clock_hours_against_counting_hour_by_hour(
    entries: list[Experience], methods: frozenset[str] | None
) -> None:
    """The sweep over edges gives what counting each hour of the day by itself gives."""
    count = 0
    for hour in range(24):
        covering = [
            e for e in entries if e.start is not None and e.start <= hour * 60 < e.start + e.hours * 60
        ]
        if covering and all(methods is None or entry.methods[0] in methods for entry in covering):
            count += 1
    assert hours_for(entries, methods) == count


@pytest.mark.parametrize(("scheme", "level"), ASKED)
def test_the_limit_is_met_and_a_thousandth_less_is_not(scheme: str, level: str) -> None:
    """Exactly the hours asked are enough; a thousandth of an hour less is not, and nothing is rounded."""
    rule = schemes()[scheme]
    step = "direct" if level == "II" and rule.routes else level
    figure = rule.figure(f"experience_method.{step}")
    assert isinstance(figure.value, Fraction)
    hours = figure.value * rule.hours_in(figure.unit)
    for short, verdict in ((Fraction(0), Verdict.MET), (Fraction(1, 1000), Verdict.NOT_MET)):
        made, day, left = [], date(2024, 1, 1), hours - short
        while left > 0:
            part = min(left, Fraction(10))
            made.append(experience(f"e{len(made)}", str(float(part)), day.isoformat()))
            day, left = day + timedelta(days=1), left - part
        row = next(r for r in judge(scheme, level, ON, *made).prerequisites if r.id == "experience_method")
        assert row.verdict is verdict
        assert row.have == (hours - short) / rule.hours_in(figure.unit)


@pytest.mark.parametrize("right", [27, 28])
def test_a_mark_of_seventy_is_28_of_40(right: int) -> None:
    """28 of 40 are exactly 70 percent; 27 are 67.5 and fail (SNT-TC-1A 2016 Addendum 1, 8.1.5: 70 each)."""
    judged = judge("SNT-2020", "I", ON, written("e1", "general", "2025-05-01", right, 40))
    row = next(row for row in judged.prerequisites if row.id == "general")
    assert (row.verdict is Verdict.MET) == (right == 28)


def test_a_standing_of_any_day_is_finite() -> None:
    """Days at both ends of the calendar are judged without a crash."""
    made = [
        near("e1", "9999-12-31"),
        certificate("e2", "0001-01-01", "SNT-2020"),
        certificate("e3", "9999-12-31", "ISO9712-2021"),
        entry("e4", "absence", since="9999-12-30", reason="other"),
        entry("e5", "absence", since="0001-01-01", to="9999-12-31", reason="other"),
        entry("e6", "employment", date="9999-12-31", event="ended", employer="Tarn Valley"),
        entry("e7", "employment", date="9999-12-31", event="rehired", employer="Tarn Valley"),
        written("e8", "general", "9999-12-30", 1, 40),
        written("e9", "general", "9999-12-31", 1, 40),
    ]
    read = history(*made)
    for scheme, level in ASKED:
        for day in (date(1, 1, 1), date(2025, 6, 30), date(9999, 12, 31)):
            judged = standing(read, schemes()[scheme], Level[level], day)
            assert all(isinstance(row, Row) for row in judged.prerequisites)


def test_text_of_is_json() -> None:
    """The histories of these tests are JSON, so that both notations are exercised."""
    assert json.loads(text_of(training("e1")))["person"] == "Tess"
