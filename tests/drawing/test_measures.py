"""Measures: dials, gauges, strips and the rest are to scale, legible, well-formed, and say in words what they show."""

from __future__ import annotations

import math
import os
import re
from collections.abc import Callable
from datetime import date, timedelta
from pathlib import Path
from xml.etree import ElementTree

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from trainer.drawing.measures import (
    CORRELATIONS,
    SHARES,
    Due,
    Row,
    SlipMark,
    Stop,
    Stroke,
    Words,
    chain,
    dates_gauge,
    dial,
    distribution,
    gauge,
    intervals,
    mark,
    piece,
    rule,
    ruler,
    run,
    seal,
    stand,
    strip,
    strip_axis,
    tally,
)
from trainer.drawing.measures.numerals import inward, multiplier, numeral
from trainer.drawing.measures.piece import Spot as PieceSpot
from trainer.drawing.measures.plate import _SIZES
from trainer.drawing.measures.scale import choose, full_scale, large_step
from trainer.drawing.register import Box, Register, Spot
from trainer.drawing.text import NARROW, width

GOLDEN = Path(__file__).parent / "golden_measures"
TODAY = date(2026, 11, 25)
SVG_CLASSES = re.compile(r"\sstyle=|<style|<script|var\(|href=")


def _days(*back: int) -> list[date]:
    return [TODAY - timedelta(days=days) for days in back]


def _strokes() -> list[Stroke]:
    value, out = 0.0, []
    for index in range(12):
        right = index not in (0, 3)
        value = 0.8 * value + 0.2 * right
        out.append(Stroke(TODAY - timedelta(days=20 - index // 3), right, value))
    return out


SAMPLES: dict[str, Callable[[], str]] = {
    "dial_from_zero": lambda: dial(938, 1687.5, 2062.5, "A", "coil current"),
    "dial_close_up": lambda: dial(1880, 1863, 1887, "A", "coil current"),
    "dial_on_the_stop": lambda: dial(7500, 1688, 2062, "A", "coil current"),
    "dial_count": lambda: dial(5, 5, 5, "1", "sections"),
    "dial_thousands": lambda: dial(2.0e6, 1.9e6, 2.1e6, "A/m", "field strength"),
    "gauge_met": lambda: gauge(12, 12, "Training", has="12 h", needs="12 h"),
    "gauge_short": lambda: gauge(61, 70, "Experience", has="61 h", needs="70 h"),
    "gauge_cut_open": lambda: gauge(400, 130, "Experience", has="400 h", needs="130 h"),
    "gauge_expired": lambda: dates_gauge(date(2025, 11, 10), date(2026, 11, 10), TODAY, "Near vision"),
    "mark_right": lambda: mark(True),
    "mark_wrong": lambda: mark(False),
    "strip": lambda: strip("Head shot", _strokes(), TODAY, proofs=_days(9, 2), due=True),
    "strip_empty": lambda: strip("Head shot", [], TODAY),
    "rule": lambda: rule(0.80, 8, 0.8, (1, 3)),
    "strip_axis": lambda: strip_axis(TODAY),
    "chain": lambda: chain(4, 5, 2),
    "chain_narrow": lambda: chain(1, 1, 9),
    "tally": lambda: tally(9),
    "run": lambda: run([True, False, True, True]),
    "stand": lambda: stand([Stop("3", ("4",)), Stop("4"), Stop("done", ("1", "10"))]),
    "ruler": lambda: ruler(
        [
            Due("TV-07 near vision", TODAY - timedelta(days=15)),
            Due("TV-04 colour", TODAY + timedelta(days=8)),
        ],
        TODAY,
    ),
    "seal_whole": lambda: seal("whole"),
    "seal_broken": lambda: seal("broken"),
    "seal_empty": lambda: seal("empty"),
    "distribution": lambda: distribution(
        [1.0, 1.01, 1.0, 0.97, 0.5, 0.5, 0.25, 2.0, 900.0],
        0.9,
        1.1,
        "1",
        "current over the right one",
        [SlipMark(0.5, "radius for diameter", 2), SlipMark(0.25, "turns left out", 1)],
    ),
    "piece": lambda: piece(
        [PieceSpot("toe crack", 112, 40, 9), PieceSpot("seam", 241, 38, 60), PieceSpot("lap", 118, 44, 2)],
        "What is in W7",
    ),
    "intervals": lambda: intervals(
        [
            Row("Low fill, part at the coil wall", 0.7, 0.4, 0.89, "7 of 10"),
            Row(
                "A name that is far too long to stand on one line beside its remark",
                1.0,
                0.72,
                1.0,
                "10 of 10",
            ),
        ],
        SHARES,
        "How hard each drill is",
    ),
    "intervals_signed": lambda: intervals(
        [Row("Item 1", -0.2, -0.5, 0.15), Row("Item 2", 0.4, 0.1, 0.6)], CORRELATIONS, "With the rest"
    ),
}


def _parse(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(svg)


def _texts(svg: str) -> list[tuple[str, Box, str]]:
    """Every word of a drawing with its box and classes, by the same estimate of width as the pen's."""
    found = []
    for element in _parse(svg).iter("text"):
        classes = element.get("class", "").split()
        anchor = next((name for name in ("mid", "end") if name in classes), "start")
        look = " ".join(name for name in classes if name not in ("mid", "end"))
        size = _SIZES.get(look, 13.0)
        words = element.text or ""
        spot = Spot(float(element.get("x", "nan")), float(element.get("y", "nan")), anchor)
        found.append((words, spot.box(width(words, size), size), look))
    return found


def _legible(svg: str) -> None:
    """No two words share area and none leaves the sheet."""
    root = _parse(svg)
    wide, high = (float(n) for n in root.get("viewBox", "").split()[2:])
    texts = _texts(svg)
    register = Register(boxes=[box for _, box, _ in texts])
    assert not register.overlapping(), [words for words, _, _ in texts]
    for words, box, _ in texts:
        assert box.inside(Box(0, 0, wide, high + 1)), words


def _titles(svg: str) -> tuple[str, str]:
    root = _parse(svg)
    return root.findtext("title") or "", root.findtext("desc") or ""


@pytest.mark.parametrize("name", SAMPLES)
def test_golden(name: str) -> None:
    """Each measure is drawn as it was when it was last looked at (TRAINER_WRITE_GOLDEN=1 draws it anew)."""
    path = GOLDEN / f"{name}.svg"
    svg = SAMPLES[name]() + "\n"
    if os.environ.get("TRAINER_WRITE_GOLDEN") == "1":
        GOLDEN.mkdir(exist_ok=True)
        path.write_text(svg, encoding="utf-8")
    assert path.read_text(encoding="utf-8") == svg


@pytest.mark.parametrize("name", SAMPLES)
def test_sound(name: str) -> None:
    """Each measure is well-formed, named, uses classes only, repeats no id, and its words do not collide."""
    svg = SAMPLES[name]()
    root = _parse(svg)
    ids = re.findall(r'\sid="([^"]+)"', svg)
    assert root.get("role") == "img"
    assert set((root.get("aria-labelledby") or "").split()) <= set(ids)
    assert len(ids) == len(set(ids))
    assert _titles(svg)[0]
    assert not SVG_CLASSES.search(svg)
    _legible(svg)


def test_every_function_takes_another_language() -> None:
    """Words handed in replace the English ones, in the drawing and in its description."""
    other = Words(
        your_answer="Ihre Antwort", accepted="gilt", dial_title="Messer: {name}", span="{low} bis {high}"
    )
    svg = dial(938, 1688, 2062, "A", "Strom", words=other)
    assert "your answer" not in svg
    assert f"1688 bis 2062{NARROW}A" in svg
    assert _titles(svg)[0] == "Messer: Strom"


# ---------------------------------------------------------------- the dial
positive = st.floats(1e-3, 1e7, allow_nan=False)


@given(x=positive)
def test_full_scale_is_the_least_round_number_not_under(x: float) -> None:
    """F(x) is 1, 1.5, 2 ... times a power of ten, not under x, and less than 1.5 of it and a half above."""
    end = full_scale(x)
    lead = end / 10 ** math.floor(math.log10(end) + 1e-9)
    assert min(abs(lead - k) for k in (1, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10)) < 1e-6
    assert x * (1 - 1e-8) <= end <= 1.5 * x * (1 + 1e-8)
    assert 3.99 <= end / large_step(end) <= 6.01 or round(end / large_step(end)) == 3


@given(answer=st.floats(0, 1e7), middle=positive, relative=st.floats(1e-6, 1.5))
def test_scale_shows_the_band_and_the_answer_or_the_stop(
    answer: float, middle: float, relative: float
) -> None:
    """The band lies on the scale; the needle does too unless the answer is beyond 1.5 times the upper limit."""
    low, high = middle * (1 - relative / 2), middle * (1 + relative / 2)
    scale = choose(answer, low, high)
    assert -1e-9 <= scale.share(low) < scale.share(high) <= 1 + 1e-9
    assert 3 <= scale.steps <= 12
    if not 0 <= scale.share(answer) <= 1:
        assert answer > high or scale.share(answer) < 1e-9
    if scale.close_up:
        assert abs(answer - middle) <= 10.001 * max(high - low, middle / 2500)
    elif high - low < scale.end / 20:
        assert abs(answer - middle) > 9.999 * (high - low)


@given(low=positive, relative=st.floats(0, 2))
def test_limits_are_rounded_inward(low: float, relative: float) -> None:
    """What is shown as accepted is accepted: the printed limits lie within the true ones."""
    high = low * (1 + relative)
    assume(high == low or high / low > 1 + 1e-7)
    first, last = inward(low, high)
    assert low * (1 - 1e-8) <= first <= last <= high * (1 + 1e-8)


@given(answer=st.floats(0, 1e7), middle=positive, relative=st.floats(0, 1.9))
def test_dial_is_legible(answer: float, middle: float, relative: float) -> None:
    """Whatever the numbers, no lettering of the dial overlaps or leaves its case."""
    low, high = middle * (1 - relative / 2), middle * (1 + relative / 2)
    svg = dial(answer, low, high, "A", "coil current")
    _legible(svg)
    assert "…" not in svg


@given(answer=st.floats(0, 1e5), middle=st.floats(1, 1e4), relative=st.floats(0.001, 1))
def test_dial_needle_is_where_it_says(answer: float, middle: float, relative: float) -> None:
    """The needle stands inside the band exactly when the words say so, and its angle is the answer's."""
    low, high = middle * (1 - relative / 2), middle * (1 + relative / 2)
    svg = dial(answer, low, high, "A", "current")
    turn = float(re.findall(r'class="needle" transform="rotate\((\S+) ', svg)[0])
    scale = choose(answer, low, high)
    desc = _titles(svg)[1]
    if 0 <= scale.share(answer) <= 1:
        assert turn == pytest.approx(100 * scale.share(answer) - 50, abs=0.006)
        assert ("inside the band" in desc) == (low <= answer <= high)
    else:
        assert abs(turn) == 51.5
        assert "on the stop" in desc


def test_dial_by_the_three_rules() -> None:
    """From zero for a wide band, close up for a narrow one with the answer near, the stop for one far off."""
    assert "Scale from 0 to 2500" in dial(938, 1687.5, 2062.5, "A", "x")
    assert "Scale from 1820 to 1920" in dial(1880, 1863, 1887, "A", "x")
    assert "close up" in dial(1880, 1863, 1887, "A", "x")
    far = dial(7500, 1688, 2062, "A", "x")
    assert "Scale from 0 to 4000" in far
    assert "on the stop" in far


@pytest.mark.parametrize(
    ("answer", "low", "high"),
    [
        (-1, 10, 12),
        (math.nan, 10, 12),
        (math.inf, 10, 12),
        (11, -1, 12),
        (11, 12, 10),
        (0, 0, 0),
        (1, 10, math.inf),
        (1e300, 10, 12),
    ],
)
def test_no_dial_where_words_must_do(answer: float, low: float, high: float) -> None:
    """Negative, endless and turned-round numbers get no dial."""
    assert dial(answer, low, high, "A", "current") == ""


def test_dial_of_a_count_shows_one_number() -> None:
    """A single accepted number is written once, and its band can still be seen."""
    svg = dial(6, 5, 5, "1", "sections")
    assert "Accepted is 5." in svg
    assert "5 to 5" not in svg
    assert 'class="band"' in svg


def test_dial_window_takes_the_trainees_own_words() -> None:
    """The answer stands in its window as it was typed, escaped."""
    svg = dial(0.938, 1.6, 2.1, "kA", "current", answered="0.938 <kA>")
    assert "0.938 &lt;kA&gt;" in svg


@pytest.mark.parametrize(
    ("end", "power"), [(2500, 0), (99_999, 0), (250_000, 3), (2.5e6, 6), (0.0015, -3), (0.5, 0)]
)
def test_multiplier(end: float, power: int) -> None:
    """Long numerals are printed in thousands or thousandths, as on an instrument."""
    assert multiplier(end) == power


def test_numeral_has_as_many_decimals_as_its_step() -> None:
    """0.1 + 0.2 is 0.3 on a scale."""
    assert numeral(0.1 + 0.2, 0.1) == "0.3"
    assert numeral(45_000, 20) == f"45{NARROW}000"


# ---------------------------------------------------------------- gauges
def _bar_end(svg: str) -> float:
    found = re.search(r'class="bar[^"]*" x="0.75" y="6.5" width="([\d.]+)"', svg)
    return float(found.group(1)) + 0.75 if found else 0.0


@given(have=st.floats(0, 1e5), need=st.floats(0.5, 1e5))
def test_gauge_reaches_the_line_exactly_when_met(have: float, need: float) -> None:
    """The bar touches the line if and only if enough is held, and its class and words agree."""
    svg = gauge(have, need, "Training")
    assert (_bar_end(svg) >= 100) == (have >= need)
    assert (": met." in svg) == (have >= need)
    assert ('class="bar short"' in svg) == (have < need and 100 * have / need > 1)


@given(life=st.integers(1, 4000), gone=st.integers(0, 8000))
def test_dates_gauge_reaches_the_line_until_its_last_day(life: int, gone: int) -> None:
    """A date is good on its last day and expired on the next."""
    done = date(2020, 1, 1)
    svg = dates_gauge(done, done + timedelta(days=life), done + timedelta(days=gone), "Near vision")
    assert (_bar_end(svg) >= 100) == (gone <= life)
    assert ("expired" in svg) == (gone > life)


def test_gauge_a_hair_short_is_seen_to_be_short() -> None:
    """69.99 of 70 hours leaves a gap that can be seen."""
    assert 95 < _bar_end(gauge(69.99, 70, "Experience")) <= 98


def test_gauge_with_nothing_needed_is_met() -> None:
    """Where nothing is needed, nothing held is enough."""
    assert ": met." in gauge(0, 0, "Training")


# ---------------------------------------------------------------- strip, chain, tally, stand
@given(
    days=st.lists(st.integers(0, 80), max_size=60),
    seed=st.lists(st.booleans(), min_size=60, max_size=60),
    due=st.booleans(),
)
def test_strip_draws_every_answer_of_its_days(days: list[int], seed: list[bool], due: bool) -> None:
    """One stroke or ring for each answer of the last 28 days, all of them on the strip."""
    value, answers = 0.0, []
    for back, right in zip(sorted(days, reverse=True), seed, strict=False):
        value = 0.8 * value + 0.2 * right
        answers.append(Stroke(TODAY - timedelta(days=back), right, value))
    svg = strip("Head shot", answers, TODAY, due=due)
    shown = [stroke for stroke in answers if (TODAY - stroke.day).days <= 28]
    marks = dict(re.findall(r'<path class="tick-(right|wrong)" d="([^"]+)"', svg))
    assert marks.get("right", "").count("M") == sum(stroke.right for stroke in shown)
    assert marks.get("wrong", "").count("M") == sum(not stroke.right for stroke in shown)
    assert all(float(x) <= 360 for path in marks.values() for x in re.findall(r"M([\d.]+)", path))
    assert ("pennant due" in svg) == due
    assert ('class="pen"' in svg) == bool(answers)


def test_strip_pen_starts_where_the_days_before_left_it() -> None:
    """A skill practised before the strip begins does not start from zero again."""
    old = Stroke(TODAY - timedelta(days=60), True, 0.9)
    assert 'class="pen" d="M0 15.4' in strip("Head shot", [old], TODAY)


@given(proven=st.integers(0, 400), steady=st.integers(0, 400), rest=st.integers(0, 400))
def test_chain_is_to_scale_and_legible(proven: int, steady: int, rest: int) -> None:
    """The three links take their shares of the bar, and every number fits."""
    total = proven + steady + rest
    svg = chain(proven, steady, rest)
    assert bool(svg) == (total > 0)
    if svg:
        _legible(svg)
        bar = re.search(r'class="edge hatched-ok" x="14" y="\d+" width="([\d.]+)"', svg)
        assert (float(bar.group(1)) if bar else 0) == pytest.approx(352 * proven / total, abs=0.01)
        assert f"A bar of {total} skills" in svg


@given(count=st.integers(0, 200))
def test_tally_counts(count: int) -> None:
    """As many strokes as wrong answers, up to thirty; the words say the true number."""
    svg = tally(count)
    assert svg.count('class="stroke"') == min(count, 30)
    if count > 1:
        assert f"{count} times" in svg


def test_run_shows_the_last_eight() -> None:
    """Older answers fall off the left end."""
    svg = run([False] * 5 + [True] * 8)
    assert svg.count("tick-right") == 8
    assert "tick-wrong" not in svg
    assert "No answers" in run([])


@given(piles=st.lists(st.integers(0, 25), min_size=1, max_size=14), names=st.booleans())
def test_stand_is_legible(piles: list[int], names: bool) -> None:
    """Piles, their heads and the names of the stops never collide, and a high pile ends in a number."""
    stops = [Stop(f"{i + 1}", tuple(str(k) for k in range(pile))) for i, pile in enumerate(piles)]
    svg = stand(stops, names=names)
    _legible(svg)
    assert ("+" in svg) == (max(piles) > 10)
    assert f"1: {piles[0]}" in svg


def test_stand_without_stops_is_nothing() -> None:
    """An empty set has no stand."""
    assert stand([]) == ""


# ---------------------------------------------------------------- ruler, distribution
@given(
    due=st.lists(st.integers(-400, 400), max_size=25),
    start=st.dates(date(2024, 1, 1), date(2030, 1, 1)),
    days=st.sampled_from([30, 90, 126]),
)
def test_ruler_lists_what_runs_out(due: list[int], start: date, days: int) -> None:
    """Everything that has run out or will within the days has a leader and a legible line; nothing else has."""
    items = [Due(f"TV-{i:02d} near vision", start + timedelta(days=k)) for i, k in enumerate(due)]
    svg = ruler(items, start, days=days)
    _legible(svg)
    assert svg.count('class="leader"') == sum(k <= days for k in due)
    assert svg.count("ran out") == 2 * sum(k < 0 for k in due)


@given(
    answers=st.lists(st.floats(1e-4, 1e4), max_size=40),
    slips=st.lists(st.floats(0.02, 50), max_size=5),
    low=st.floats(0.5, 1),
    wide=st.floats(0.001, 1),
)
def test_distribution_is_legible_and_complete(
    answers: list[float], slips: list[float], low: float, wide: float
) -> None:
    """Every answer is a dot or counted as further off; slips are labelled without collision."""
    marks = [SlipMark(value, f"slip {i}", i) for i, value in enumerate(slips)]
    svg = distribution(answers, low, low + wide, "1", "current", marks)
    near = [value for value in answers if low / 40 <= value <= (low + wide) * 40]
    _legible(svg)
    assert svg.count('class="answer-dot') == len(near)
    assert svg.count('class="answer-dot"') == sum(low <= value <= low + wide for value in near)
    assert ("further off" in svg) == (len(near) < len(answers))


def test_distribution_numerals_give_way_to_slips() -> None:
    """No numeral stands under the mark of a slip."""
    slip = SlipMark(0.5, "radius for diameter", 2)
    bare, marked = (distribution([0.2, 1, 2], 0.9, 1.1, "1", "x", slips) for slips in ([], [slip]))
    assert ">0.5</text>" in bare
    assert ">0.5</text>" not in marked


def test_distribution_needs_limits_above_zero() -> None:
    """Without a band above zero there is no line."""
    assert distribution([1.0], 0, 1, "1", "x") == ""
    assert distribution([1.0], 2, 1, "1", "x") == ""


@pytest.mark.parametrize(
    "name", ["<script>alert(1)</script>", 'A & B "quoted"', "a\x00b\x1f", "𝕳" * 80, "x" * 4000]
)
def test_names_are_only_ever_text(name: str) -> None:
    """Hostile and endless names stay text and stay on the sheet."""
    for svg in (
        dial(938, 1688, 2062, "A", name),
        stand([Stop(name, (name,)), Stop("2")]),
        ruler([Due(name, TODAY)], TODAY),
        distribution([1.0], 0.9, 1.1, "1", name, [SlipMark(1.5, name[:60], 1)]),
        gauge(1, 2, name),
        strip(name, [], TODAY),
    ):
        assert "<script" not in svg
        _legible(svg)


# ---------------------------------------------------------------- figures with their bounds
bounds = st.lists(st.floats(-1, 1), min_size=3, max_size=3).map(sorted)


@given(st.lists(st.tuples(st.text("abc ", max_size=90), bounds, st.text("12 of", max_size=30)), max_size=12))
def test_intervals_stay_on_the_sheet(rows: list[tuple[str, list[float], str]]) -> None:
    """Whatever the names and figures: one dot a row between the ends of its bar, all words legible."""
    svg = intervals([Row(name, v[1], v[0], v[2], remark) for name, v, remark in rows], CORRELATIONS, "Title")
    if not rows:
        assert svg == ""
        return
    _legible(svg)
    dots = [float(one.get("cx", "nan")) for one in _parse(svg).iter("circle")]
    assert dots == pytest.approx([CORRELATIONS.at(v[1]) for _, v, _ in rows], abs=0.06)
    assert all(14 <= x <= 366 for x in dots)
    assert "−" in _titles(svg)[1] or all(v[0] > -0.005 for _, v, _ in rows)


millimetres = st.floats(0, 9999, allow_subnormal=False)


@given(st.lists(st.tuples(millimetres, millimetres, millimetres), min_size=1, max_size=12))
def test_a_map_of_any_specimen_stays_on_the_sheet(places: list[tuple[float, float, float]]) -> None:
    """One numbered balloon for each spot, all on the sheet; equal scale both ways; every place is said."""
    svg = piece([PieceSpot("crack", *place) for place in places], "Map")
    root = _parse(svg)
    wide, high = (float(n) for n in root.get("viewBox", "").split()[2:])
    balloons = list(root.iter("circle"))
    assert len(balloons) == len(places)
    for one in balloons:
        assert 0 <= float(one.get("cx", "nan")) <= wide
        assert 0 <= float(one.get("cy", "nan")) <= high
    assert _titles(svg)[1].count("from the left") == len(places)
    assert piece([], "Map") == ""
