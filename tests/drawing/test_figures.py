"""Figures: every kind, drawn from plausible and from extreme numbers, looked at by reading the SVG back."""

from __future__ import annotations

import os
import re
import xml.etree.ElementTree as ET
from html import unescape
from pathlib import Path

import pytest
from figure_samples import SAMPLES, asked, choose, random_numbers, shown, typical

from trainer.drawing.figures import KINDS, Figure, Shown, draw
from trainer.drawing.register import Box, Spot
from trainer.drawing.text import coordinate, width
from trainer.errors import Refused
from trainer.languages import reading_in
from trainer.languages.numerals import reading_with

GOLDEN = Path(__file__).parent / "golden"
SEEDS = int(os.environ.get("TRAINER_FIGURE_SEEDS", "1000"))
SIZES = {"tick": 12.0, "live": 14.0}
NUMBER = re.compile(r"\d+(?:[.\u202f]\d+)*")


TEXT = re.compile(r'<text class="([^"]*)" x="([^"]*)" y="([^"]*)"( transform="[^"]*")?>([^<]*)</text>')
SHAPE = re.compile(
    r'<(line)[^>]* x1="([^"]*)" y1="([^"]*)" x2="([^"]*)" y2="([^"]*)"/>'
    r'|<(rect) class="[^>]* x="([^"]*)" y="([^"]*)" width="([^"]*)" height="([^"]*)"/>'
    r'|<(circle)[^>]* cx="([^"]*)" cy="([^"]*)" r="([^"]*)"/>'
)


def texts(figure: Figure) -> list[tuple[str, Box]]:
    """Every text of a figure with the box it takes, read back from the SVG."""
    found = []
    for classes, x, y, turned, text in TEXT.findall(figure.svg):
        names = classes.split()
        size = next((SIZES[name] for name in names if name in SIZES), 13.0)
        anchor = next((name for name in names if name in ("mid", "end")), "start")
        plain = unescape(text)
        found.append((plain, Spot(float(x), float(y), anchor, bool(turned)).box(width(plain, size), size)))
    return found


def shapes(figure: Figure) -> list[Box]:
    """The boxes of all lines, rectangles and circles of a figure, read back from the SVG."""
    boxes = []
    for line, x1, y1, x2, y2, rect, x, y, wide, high, _, cx, cy, r in SHAPE.findall(figure.svg):
        if line:
            a, b, c, d = float(x1), float(y1), float(x2), float(y2)
            boxes.append(Box(min(a, c), min(b, d), max(a, c), max(b, d)))
        elif rect:
            boxes.append(Box(float(x), float(y), float(x) + float(wide), float(y) + float(high)))
        else:
            a, b, c = float(cx), float(cy), float(r)
            boxes.append(Box(a - c, b - c, a + c, b + c))
    return boxes


def faults(figure: Figure) -> list[str]:
    """What is wrong with a figure: words on words, words or lines off the sheet."""
    sheet = Box(-1, -1, figure.width + 1, figure.height + 1)
    words = texts(figure)
    wrong = [f"{text} leaves the sheet" for text, box in words if not box.inside(sheet)]
    for i, (text, box) in enumerate(words):
        wrong += [f"{text} lies on {other}" for other, that in words[i + 1 :] if box.overlaps(that)]
    if re.search(r'="[^"]*\b(nan|inf)\b', figure.svg):
        wrong.append("a size is no number")
    for box in shapes(figure):
        if not box.inside(sheet) or box.right < box.left or box.bottom < box.top:
            wrong.append(f"{box} leaves the sheet or is turned inside out")
    return wrong


def numbers(text: str) -> set[str]:
    """The numbers in a text, groups closed up."""
    return {found.replace("\u202f", "") for found in NUMBER.findall(text)}


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_labels_keep_apart_and_on_the_sheet(kind: str) -> None:
    """No label overlaps another or leaves the sheet, whatever numbers the exercise has."""
    for seed in range(SEEDS):
        figure = draw(kind, "f", random_numbers(kind, seed), choose(kind, seed))
        wrong = faults(figure)
        assert not wrong, (seed, wrong)
        assert 60 < figure.height < 560, (seed, figure.height)


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_spanish_words_keep_apart_too(kind: str) -> None:
    """The longer words of another language fit where the English ones do, and none of them stays English."""
    for seed in range(min(SEEDS, 40)):
        numbers, words = random_numbers(kind, seed), choose(kind, seed)
        with reading_in("es"), reading_with("comma"):
            figure = draw(kind, "f", numbers, words)
        assert not faults(figure), seed
        english = draw(kind, "f", numbers, words)
        assert figure.title != english.title
        assert figure.scale_says != english.scale_says


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_words_and_drawing_carry_the_same_numbers(kind: str) -> None:
    """Title and description name every number written in the drawing, and the drawing every number given."""
    for seed in range(0, SEEDS, 10):
        roles = random_numbers(kind, seed)
        figure = draw(kind, "f", roles, choose(kind, seed))
        written = numbers(" ".join(text for text, _ in texts(figure)))
        told = numbers(f"{figure.title} {figure.desc}")
        assert written <= told | {"0"}, seed
        given = numbers(" ".join(f"{s.symbol} {s.text}" for s in roles.values()))
        assert given <= written, seed


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_the_answer_is_never_written(kind: str) -> None:
    """Whatever is asked for, its number stands nowhere in the drawing, its title or its description."""
    for name in SAMPLES[kind]:
        roles = typical(kind)
        secret = Shown(roles[name].value * 1.0371, roles[name].unit, "?", roles[name].symbol, True)
        figure = draw(kind, "f", {**roles, name: secret})
        others = numbers(" ".join(s.text for key, s in roles.items() if key != name))
        words = " ".join([figure.title, figure.desc, figure.scale_says, *(text for text, _ in texts(figure))])
        digits = f"{secret.value:.3g}"
        assert digits in others or digits not in numbers(words)
        assert "?" in words


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_a_count_asked_for_cannot_be_counted(kind: str) -> None:
    """Two exercises that differ only in the count asked for are drawn with equally many pieces."""
    for role in KINDS[kind].roles:
        if role.dimension != "count" or role.name not in SAMPLES[kind]:
            continue
        few, many = typical(kind), typical(kind)
        few[role.name] = asked(shown(role.name, SAMPLES[kind][role.name], 6))
        many[role.name] = asked(shown(role.name, SAMPLES[kind][role.name], 9))
        assert draw(kind, "f", few).svg == draw(kind, "f", many).svg


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_markup_is_sound(kind: str) -> None:
    """The SVG is well formed; ids are unique and carry the figure's name; no style reaches the pages' policy."""
    figure = draw(kind, "one", typical(kind), {"part": "axle <b>&\"'"})
    root = ET.fromstring(figure.svg)
    assert len(list(root.iter("text"))) == len(texts(figure)) == figure.svg.count("<text")
    assert root.get("viewBox") == f"0 0 {figure.width:g} {coordinate(figure.height)}"
    ids = [element.get("id") for element in root.iter() if element.get("id")]
    assert len(ids) == len(set(ids))
    assert all(str(name).startswith("one-") for name in ids)
    assert " style=" not in figure.svg
    assert "<style" not in figure.svg
    assert "var(" not in figure.svg
    assert "nan" not in figure.svg
    assert root.get("role") == "img"


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_golden(kind: str) -> None:
    """The drawing is the one that was looked at; TRAINER_WRITE_GOLDEN=1 writes it anew after a look."""
    path = GOLDEN / f"{kind}.svg"
    svg = draw(kind, kind, typical(kind)).svg + "\n"
    if os.environ.get("TRAINER_WRITE_GOLDEN") == "1":
        path.write_text(svg, encoding="utf-8")
    assert path.read_text(encoding="utf-8") == svg


def test_every_kind_has_samples() -> None:
    """Every kind and every one of its roles is tried by the tests above, and nothing else."""
    assert set(SAMPLES) == set(KINDS)
    for name, kind in KINDS.items():
        assert set(SAMPLES[name]) <= {role.name for role in kind.roles}
        assert {role.name for role in kind.roles if role.required} <= set(SAMPLES[name])


def test_lengths_come_in_any_unit() -> None:
    """The same part in inches and in millimetres has the same shape."""
    inches = {"length": Shown(10, "in", "10 in", "L"), "diameter": Shown(2, "in", "2 in", "D")}
    mixed = {**inches, "diameter": Shown(50.8, "mm", "2 in", "D")}
    assert draw("round-bar", "f", inches).svg == draw("round-bar", "f", mixed).svg


def test_scale_is_true() -> None:
    """A part five times as long as thick is drawn five times as long as thick, one square being one unit."""
    roles = {"length": Shown(10, "in", "10 in", "L"), "diameter": Shown(2, "in", "2 in", "D")}
    figure = draw("round-bar", "f", roles)
    bar = next(e for e in ET.fromstring(figure.svg).iter("rect") if e.get("class") == "edge solid")
    wide, high = float(bar.get("width", "")), float(bar.get("height", ""))
    assert wide / high == pytest.approx(5, abs=0.01)
    assert figure.scale_says == "1 square = 1\u202fin"
    pattern = next(iter(ET.fromstring(figure.svg).iter("pattern")))
    assert float(pattern.get("width", "")) * 10 == pytest.approx(wide, abs=0.1)


def test_no_squares_where_a_length_is_asked_for() -> None:
    """Where a length is the question there is no graph paper to count it on."""
    roles = {"length": Shown(10, "in", "?", "L"), "diameter": Shown(2, "in", "2 in", "D")}
    figure = draw("round-bar", "f", roles)
    assert "<pattern" not in figure.svg
    assert "length is asked for" in figure.scale_says


def test_extra_numbers_stand_at_the_foot() -> None:
    """A number that a kind has no place for is written at the foot and told in the description."""
    roles = {"turns": Shown(4, "1", "4", "N"), "also-load": Shown(7500, "A", "7500 A", "NI")}
    figure = draw("coil", "f", roles)
    assert any("NI = 7500 A" in text for text, _ in texts(figure))
    assert "NI = 7500 A" in figure.desc


@pytest.mark.parametrize(
    ("kind", "roles", "words", "says"),
    [
        ("no-such", {}, {}, "no figure named"),
        ("coil", {"turn": Shown(4, "1", "4", "N")}, {}, "no place for turn"),
        ("coil-fill", {"bore": Shown(4, "in", "4 in", "b")}, {}, "needs the number diameter"),
        ("coil", {"turns": Shown(float("nan"), "1", "4", "N")}, {}, "cannot be drawn"),
        ("coil", {"turns": Shown(-4, "1", "-4", "N")}, {}, "below zero"),
        ("round-bar", {"length": Shown(4, "kg", "4 kg", "L")}, {}, "the unit kg"),
        ("part-in-coil", {}, {"position": "upside"}, "upside is none"),
    ],
)
def test_refusals(kind: str, roles: dict[str, Shown], words: dict[str, str], says: str) -> None:
    """What cannot be drawn is refused with a sentence that says what to write instead."""
    with pytest.raises(Refused, match=says):
        draw(kind, "f", roles, words)


@pytest.mark.parametrize("fid", ["", "1a", 'x" onload="', "a b", "x" * 90])
def test_the_name_of_a_figure_is_an_id(fid: str) -> None:
    """A name that could break out of an attribute is refused."""
    with pytest.raises(Refused, match="name of a figure"):
        draw("coil", fid, {})


def test_drawing_is_repeatable() -> None:
    """The same numbers give the same bytes."""
    for kind in KINDS:
        assert draw(kind, "f", typical(kind)).svg == draw(kind, "f", typical(kind)).svg


@pytest.mark.parametrize("kind", sorted(KINDS))
def test_long_words_are_cut(kind: str) -> None:
    """Long names, long numbers and odd signs do no harm."""
    roles = {
        name: Shown(s.value, s.unit, "123456789 " * 4 + "<&>\u0001", s.symbol * 12)
        for name, s in typical(kind).items()
    }
    figure = draw(kind, "f", roles, {"part": "bearing sleeve " * 20})
    assert not faults(figure)


def test_a_thickened_part_is_owned_up_to() -> None:
    """Where something would be too thin to see, the sentence on the scale says that it is not to scale."""
    thin = {"length": Shown(900, "in", "900 in", "L"), "diameter": Shown(0.1, "in", "0.1 in", "D")}
    assert "not to scale" in draw("round-bar", "f", thin).scale_says
    stout = {**thin, "diameter": Shown(90, "in", "90 in", "D")}
    assert "not to scale" not in draw("round-bar", "f", stout).scale_says


@pytest.mark.parametrize("kind", sorted(KINDS))
@pytest.mark.parametrize("value", [0.0, -5.0, 1e-9, 1e12])
def test_odd_numbers_are_drawn_or_refused(kind: str, value: float) -> None:
    """Zero, negative, tiny and huge numbers in any role give a sound drawing or a sentence."""
    for name, given in typical(kind).items():
        roles = {**typical(kind), name: Shown(value, given.unit, "7", given.symbol)}
        try:
            figure = draw(kind, "f", roles)
        except Refused:
            assert value <= 0
            continue
        assert not faults(figure), name
