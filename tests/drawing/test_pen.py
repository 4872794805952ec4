"""The pen: writing numbers, estimating widths, placing labels, arrows."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.drawing.arrow import arrowhead
from trainer.drawing.figures.layout import arc_points, spread
from trainer.drawing.figures.sheet import square
from trainer.drawing.figures.waves import WAVES
from trainer.drawing.pen import Pen
from trainer.drawing.register import Box, Lies, Register, Spot, Strokes
from trainer.drawing.text import coordinate, cut, folded, number, quantity, safe, width


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (0, "0"),
        (1875, "1875"),
        (45000, "45\u202f000"),
        (1234567, "1\u202f234\u202f567"),
        (-2.5, "\u22122.5"),
        (0.1 + 0.2, "0.3"),
        (9.80665, "9.807"),
        (-0.0, "0"),
        (math.inf, "?"),
    ],
)
def test_numbers_are_written_as_the_house_writes_them(value: float, text: str) -> None:
    """Groups of three from five digits, a true minus, four figures, no dead zeros."""
    assert number(value) == text


def test_a_pure_number_has_no_unit() -> None:
    """Unit 1 is not written; others stand after a narrow space."""
    assert quantity(4, "1") == "4"
    assert quantity(12, "in") == "12\u202fin"


@given(st.floats(-1e9, 1e9))
def test_coordinates_have_two_decimals_and_no_dead_zeros(value: float) -> None:
    """A coordinate is near its value and short; minus zero is zero."""
    text = coordinate(value)
    assert abs(float(text) - value) <= 0.0051
    assert not re.search(r"\.\d*0$|\.$|^-0$|e", text)


@given(st.text(max_size=60))
def test_any_text_is_safe_in_markup(text: str) -> None:
    """Whatever is typed, the label is well-formed XML and its signs come back."""
    element = ET.fromstring(f'<t a="{safe(text)}">{safe(text)}</t>')
    kept = "".join(
        s for s in text if ord(s) >= 32 and s not in "\x7f\ufffe\uffff" and not 0xD800 <= ord(s) < 0xE000
    )
    assert (element.text or "") == kept


@given(st.text(st.characters(min_codepoint=32, max_codepoint=126), max_size=80), st.floats(40, 400))
def test_folded_lines_fit_their_room(text: str, room: float) -> None:
    """No line of a folded text is wider than its room, and no sign is lost unless a word had to be cut."""
    lines = folded(text, 13, room)
    assert all(width(line, 13) <= room for line in lines)
    if all(width(word, 13) <= room for word in text.split(" ")):
        assert " ".join(lines) == text


def test_a_long_word_is_cut_with_an_ellipsis() -> None:
    """A word that cannot fit is cut and says so."""
    assert cut("abcdefghij" * 9, 13, 100).endswith("…")
    assert cut("abc", 13, 100) == "abc"


@pytest.mark.parametrize(
    ("word", "least", "most"),
    [("0123456789", 10 * 0.456, 10 * 0.6), ("bore 12 in", 4.0, 6.0), ("MW", 1.3, 1.8)],
)
def test_widths_are_those_of_a_condensed_sans(word: str, least: float, most: float) -> None:
    """Estimates lie between the narrowest face of the stack (Liberation Sans Narrow, digits 0.456 em) and a wide one."""
    assert least <= width(word, 1) <= most


def test_turned_boxes_stand_upright() -> None:
    """A turned label takes as much height as a level one takes width."""
    level, turned = Spot(50, 50).box(40, 10), Spot(50, 50, "mid", True).box(40, 10)
    assert level.right - level.left == pytest.approx(turned.bottom - turned.top)
    assert level.bottom - level.top == pytest.approx(turned.right - turned.left)


@given(
    st.lists(
        st.tuples(st.floats(10, 370), st.floats(10, 190), st.text("0123456789 =AIN", min_size=1, max_size=14))
    )
)
def test_labels_never_overlap(labels: list[tuple[float, float, str]]) -> None:
    """Any number of labels asked for at any place end apart from each other and on the sheet."""
    pen = Pen("p", height=200)
    for x, y, text in labels:
        pen.label(text, Spot(x, y))
    pen.finish("t", "d")
    assert pen.register.overlapping() == []
    sheet = Box(0, 0, pen.width, pen.height)
    assert all(box.inside(sheet) for box in pen.register.boxes)
    assert len("".join(pen.words()).replace(" ", "")) >= len("".join(t for *_, t in labels).replace(" ", ""))


def test_a_label_keeps_off_a_thick_line() -> None:
    """The first spot is given up if an outline runs through it."""
    pen = Pen("p", height=100)
    pen.line(0, 46, 380, 46, "edge")
    pen.label("I = 5 A", Spot(100, 50), Spot(100, 80))
    assert 'y="80"' in pen.finish("t", "d")


def test_an_optional_label_without_room_is_left_out() -> None:
    """A tick that would lie on another is not written anywhere."""
    pen = Pen("p", height=100)
    pen.label("100", Spot(100, 50))
    pen.label("200", Spot(104, 50), look="tick", optional=True)
    pen.finish("t", "d")
    assert pen.words() == ("100",)


def test_words_without_room_stand_at_the_foot() -> None:
    """Where a sheet is full the label is written below it, and the sheet grows."""
    pen = Pen("p", width=120, height=24)
    for k in range(4):
        pen.label(f"I{k} = 100 A", Spot(60, 15))
    pen.finish("t", "d")
    assert pen.height > 24
    assert len(pen.words()) == 4
    assert pen.register.overlapping() == []


def test_the_register_sees_lines_circles_and_areas() -> None:
    """A box on a circle's line or a slanting line lies on it; inside the circle, beside the line, it is clear."""
    register = Register(thick=Strokes([(0, 0, 100, 100)]), thin=Strokes(circles=[(200, 50, 40)]))
    assert register.lies(Box(45, 45, 55, 55)) is Lies.THICK
    assert register.lies(Box(60, 10, 80, 30)) is Lies.CLEAR
    assert register.lies(Box(150, 45, 170, 55)) is Lies.THIN
    assert register.lies(Box(190, 45, 210, 55)) is Lies.CLEAR
    register.hollows.append((200, 50, 40, 20))
    assert register.lies(Box(190, 45, 210, 55)) is Lies.CLEAR
    assert register.lies(Box(220, 45, 230, 55)) is Lies.THIN


def test_narrow_dimensions_have_their_arrows_outside() -> None:
    """Under thirty units the arrows point inward from outside and the words stand beside them."""
    pen = Pen("p", height=100)
    pen.dim_h(100, 112, 50, "t = 0.5 in")
    svg = pen.finish("t", "d")
    assert svg.count('class="dim in"') == 2
    assert float(re.search(r'<text[^>]* x="([\d.]+)"', svg)[1]) > 112  # type: ignore[index]


def test_the_arrowhead_points_where_it_should() -> None:
    """The point is where it was asked for and the base lies behind it."""
    assert arrowhead(10, 20, 0, 10, 2) == "M10 20L0 18L0 22Z"
    assert arrowhead(10, 20, 90, 10, 2).startswith("M10 20L12 10")


def test_words_that_must_lie_on_a_line_have_a_plate() -> None:
    """Where all there is lies on lines, the words get a plate in the colour of the sheet and stay where asked."""
    pen = Pen("p", height=100)
    for y in range(0, 100, 4):
        pen.line(0, y, 380, y, "fine")
    pen.label("I = 5 A", Spot(100, 50))
    svg = pen.finish("t", "d")
    box = pen.register.boxes[0]
    assert f'<rect class="plate" x="{coordinate(box.left)}" y="{coordinate(box.top)}"' in svg
    assert svg.index('class="plate"') < svg.index("<text")
    assert 'y="50"' in svg


def test_a_thin_line_is_worth_a_short_way_only() -> None:
    """A label steps off a thin line where that is near, and stays on a plate where the way would be long."""
    near, far = Pen("p", height=100), Pen("p", height=100)
    near.line(0, 46, 380, 46, "fine")
    near.label("I = 5 A", Spot(100, 50))
    assert "plate" not in near.finish("t", "d")
    far.rect(0, 0, 380, 100, "hatch-fine")
    far.label("I = 5 A", Spot(100, 50))
    assert "plate" in far.finish("t", "d")


def test_a_pointing_line_ends_on_a_line_by_an_arrow_and_in_an_area_by_a_dot() -> None:
    """The end of a pointing line says what it names: the line under the arrow, or the area round the dot."""
    pen = Pen("p", height=100)
    pen.rect(20, 20, 60, 30, "edge hatched")
    pen.leader(80, 35, 200, 20, "edge")
    pen.leader(50, 35, 200, 70, "plate")
    svg = pen.finish("t", "d")
    assert '<polyline class="leader" points="80,35 ' in svg
    assert '<polyline class="leader dot" points="50,35 ' in svg


def test_a_pointing_line_runs_through_no_other_words() -> None:
    """Words stand where their pointing line passes beside the words that stand already."""
    pen = Pen("p", height=200)
    pen.label("I = 5000 A", Spot(150, 60, "start"))
    pen.leader(100, 56, 260, 56, "wall")
    pen.finish("t", "d")
    assert not any(pen.register.boxes[0].crossed(line) for line in pen.register.thin.lines)


@given(st.lists(st.floats(0, 200), min_size=1, max_size=8))
def test_spread_keeps_order_and_distance(heights: list[float]) -> None:
    """Labels moved apart stay in their order, a line of lettering apart, within the room there is."""
    places = spread(heights, 18, 0, 200)
    order = sorted(range(len(heights)), key=lambda i: heights[i])
    moved = [places[i] for i in order]
    assert all(b - a >= 18 - 1e-6 for a, b in pairwise(moved))
    assert max(moved) <= 200 + 1e-6


@given(st.floats(1e-6, 1e6))
def test_squares_are_round_numbers_of_a_size_that_can_be_counted(px: float) -> None:
    """A square is 1, 2 or 5 times a power of ten and 14 to 36 units wide."""
    step = square(px)
    assert 14 <= step * px * (1 + 1e-9) <= 36
    lead = step / 10 ** math.floor(math.log10(step) + 1e-9)
    assert min(abs(lead - k) for k in (1, 2, 5)) < 1e-6


def test_arcs_begin_and_end_where_they_should() -> None:
    """Angles count from the right, against the clock."""
    points = arc_points(0, 0, 10, 0, 90)
    assert points[0] == pytest.approx((10, 0))
    assert points[-1] == pytest.approx((0, -10), abs=1e-9)


@pytest.mark.parametrize("name", sorted(WAVES))
def test_wave_forms_have_the_mean_and_rms_they_are_drawn_with(name: str) -> None:
    """Closed forms of rms and (rectified) mean agree with the sum over one period; the peak is one."""
    wave = WAVES[name]
    steps = 36000
    values = [abs(wave.f((k + 0.5) / steps)) for k in range(steps)]
    assert sum(values) / steps == pytest.approx(wave.mean, rel=1e-6)
    assert math.sqrt(sum(v * v for v in values) / steps) == pytest.approx(wave.rms, rel=1e-6)
    assert max(values) == pytest.approx(1, abs=1e-6)
