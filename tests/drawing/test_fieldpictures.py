"""Field pictures: drawn from plausible numbers, read back, and held to their own facts and to a bound of work."""

from __future__ import annotations

import os
import random
import re
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from test_figures import faults, numbers, texts

from tests.work import calls_in
from trainer.drawing.fieldpictures import FIELD_KINDS, FieldPicture, draw_field
from trainer.drawing.figures import Shown
from trainer.drawing.text import number
from trainer.errors import Refused
from trainer.languages import reading_in
from trainer.languages.numerals import reading_with

GOLDEN = Path(__file__).parent / "golden_fields"
SEEDS = int(os.environ.get("TRAINER_FIGURE_SEEDS", "60"))
MOST_CALLS = 120_000  # about 50 ms of plain Python

Range = tuple[str, str, float, float]
SAMPLES: dict[str, dict[str, Range]] = {
    "coil": {
        "length": ("L", "in", 4, 36),
        "diameter": ("D", "in", 0.5, 5),
        "bore": ("bore", "in", 8, 20),
        "turns": ("N", "1", 3, 6),
        "current": ("I", "A", 200, 6000),
    },
    "wrap": {
        "length": ("L", "in", 30, 160),
        "reach": ("Z", "in", 9, 18),
        "diameter": ("D", "in", 1, 8),
        "overlap": ("s", "1", 0.05, 0.25),
        "positions": ("n", "1", 2, 14),
        "constant": ("", "A-turn", 35000, 35000),
    },
    "prods": {"spacing": ("s", "in", 2, 8), "current": ("I", "A", 150, 1200)},
    "conductor": {
        "outside": ("OD", "in", 4, 20),
        "wall": ("t", "in", 0.25, 1.5),
        "conductor": ("d", "in", 0.5, 2),
        "current": ("I", "A", 300, 6000),
    },
    "tube": {"diameter": ("D", "in", 0.5, 10), "current": ("I", "A", 200, 6000)},
    "leads": {"spacing": ("s", "m", 0.02, 1), "current": ("I", "A", 200, 6000)},
}
WORDS = {
    "coil": [{"position": "middle"}, {"position": "wall", "window": "iso"}],
    "conductor": [{"position": "bore"}, {"position": "middle"}],
}


def roles(kind: str, chance: random.Random | None = None) -> dict[str, Shown]:
    """Numbers of the middle of each range, or by chance."""
    found = {}
    for name, (symbol, unit, low, high) in SAMPLES[kind].items():
        value = float(f"{chance.uniform(low, high) if chance else (low + high) / 2:.3g}")
        value = float(round(value)) if unit == "1" and high > 1 else value
        found[name] = Shown(value, unit, number(value) + ("" if unit == "1" else f" {unit}"), symbol)
    return found


def words(kind: str, k: int = 0) -> dict[str, str]:
    """One of the choices of words."""
    return WORDS.get(kind, [{}])[k % len(WORDS.get(kind, [{}]))]


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_labels_keep_apart_and_on_the_sheet(kind: str) -> None:
    """No label overlaps another or leaves the sheet, whatever numbers the exercise has."""
    for seed in range(SEEDS):
        picture = draw_field(kind, "f", roles(kind, random.Random(seed)), words(kind, seed))
        assert not faults(picture.figure), seed
        assert 100 < picture.figure.height < 700, seed


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_spanish_words_keep_apart_too(kind: str) -> None:
    """Names of curves and axes fit in Spanish, and the facts beside the picture are told in it."""
    for seed in range(0, SEEDS, 4):
        with reading_in("es"), reading_with("comma"):
            picture = draw_field(kind, "f", roles(kind, random.Random(seed)), words(kind, seed))
        assert not faults(picture.figure), seed
        english = draw_field(kind, "f", roles(kind, random.Random(seed)), words(kind, seed))
        assert picture.model != english.model
        assert not {fact.name for fact in picture.facts} & {fact.name for fact in english.facts}


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_nothing_is_drawn_off_the_sheet(kind: str) -> None:
    """Contours and curves stay on the sheet."""
    for seed in range(0, SEEDS, 3):
        figure = draw_field(kind, "f", roles(kind, random.Random(seed)), words(kind, seed)).figure
        for path in re.findall(
            r'<path class="(?:contour|flux|trace|fine|ghost)[^"]*" d="([^"]*)"', figure.svg
        ):
            places = [float(one) for one in re.findall(r"-?\d+(?:\.\d+)?", path)]
            assert all(-1 <= x <= figure.width + 1 for x in places[::2]), seed
            assert all(-1 <= y <= figure.height + 1 for y in places[1::2]), seed


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_the_description_tells_the_facts(kind: str) -> None:
    """Whoever cannot see the picture reads the same facts, and every number given stands in the drawing."""
    picture = draw_field(kind, "f", roles(kind), words(kind))
    for fact in picture.facts:
        assert fact.says in picture.figure.desc
    given = numbers(" ".join(f"{s.symbol} {s.text}" for s in roles(kind).values()))
    assert given <= numbers(" ".join(text for text, _ in texts(picture.figure)))
    assert picture.model.endswith(".")


@pytest.mark.parametrize("kind", sorted(SAMPLES))
def test_work_is_bounded(kind: str) -> None:
    """A picture is drawn by so many calls at most, far below a tenth of a second."""
    for seed in range(3):
        given = roles(kind, random.Random(seed))
        assert calls_in(lambda g=given, s=seed: draw_field(kind, "f", g, words(kind, s))) < MOST_CALLS


@pytest.mark.parametrize("kind", sorted(FIELD_KINDS))
def test_markup_is_sound(kind: str) -> None:
    """The SVG is well formed and no style attribute reaches the pages' policy."""
    picture = draw_field(kind, "one", roles(kind), words(kind))
    ET.fromstring(picture.figure.svg)
    assert " style=" not in picture.figure.svg


def says(picture: FieldPicture, name: str) -> str:
    """What a fact says, by the beginning of its name."""
    return next(fact.says for fact in picture.facts if fact.name.startswith(name))


def test_the_facts_are_the_known_numbers() -> None:
    """Rules worked by hand: 650 A over 6 in, 1500 A through 3 in, 3600 A in one lead."""
    prods = {"spacing": Shown(6, "in", "6 in", "s"), "current": Shown(650, "A", "650 A", "I")}
    assert says(draw_field("prods", "f", prods), "In the middle").startswith("2.72\u202fkA/m")
    bar = {"diameter": Shown(3, "in", "3 in", "D"), "current": Shown(1500, "A", "1500 A", "I")}
    assert says(draw_field("tube", "f", bar), "At the outside").endswith("(78.7\u202fG)")
    leads = {"spacing": Shown(0.3, "m", "0.3 m", "s"), "current": Shown(3600, "A", "3600 A", "I")}
    assert says(draw_field("leads", "f", leads), "0.5").startswith("1.44\u202fm from one lead alone")


def test_the_centred_rule_asks_for_one_flux_density() -> None:
    """Where the exercise follows the centred rule, a more slender part needs less of the empty coil's field."""
    fields = []
    for length in (6.0, 12.0, 24.0):
        current = 43000 * 6 / (6 * length / 2 - 5) / 5
        given = {
            "length": Shown(length, "in", f"{length:g} in", "L"),
            "diameter": Shown(2, "in", "2 in", "D"),
            "radius": Shown(6, "in", "6 in", "R"),
            "turns": Shown(5, "1", "5", "N"),
            "current": Shown(current, "A", "I", "I"),
        }
        fields.append(float(says(draw_field("coil", "f", given), "Empty coil, in its").split("\u202f")[0]))
    assert fields == sorted(fields, reverse=True)


@pytest.mark.parametrize("kind", sorted(FIELD_KINDS))
def test_golden_pictures(kind: str) -> None:
    """The picture is the one that was looked at (TRAINER_WRITE_GOLDEN=1 writes it anew)."""
    file = GOLDEN / f"{kind}.svg"
    svg = draw_field(kind, "golden", roles(kind), words(kind)).figure.svg + "\n"
    if os.environ.get("TRAINER_WRITE_GOLDEN"):
        GOLDEN.mkdir(exist_ok=True)
        file.write_text(svg, encoding="utf-8")
    assert svg == file.read_text(encoding="utf-8")


def test_what_cannot_be_drawn_is_refused() -> None:
    """An unknown kind, a role too few and a window that no document gives are refused with a sentence."""
    with pytest.raises(Refused, match="no field picture named moon"):
        draw_field("moon", "f", {})
    with pytest.raises(Refused, match="needs the number spacing"):
        draw_field("prods", "f", {})
    with pytest.raises(Refused, match="knows window as"):
        draw_field("prods", "f", roles("prods"), {"window": "ours"})


def test_a_wrap_takes_the_constant_of_its_drill() -> None:
    """Another rule gives other ampere-turns; an exercise kept from before the drill said it has the usual one."""
    given = roles("wrap")
    usual = (
        draw_field("wrap", "f", {name: one for name, one in given.items() if name != "constant"})
        .facts[0]
        .says
    )
    assert usual == draw_field("wrap", "f", given).facts[0].says
    assert "35 000/(L/D + 2)" in usual.replace("\u202f", " ")
    other = {**given, "constant": Shown(45000, "A-turn", "45000 A-turn", "")}
    assert "45 000/(L/D + 2)" in draw_field("wrap", "f", other).facts[0].says.replace("\u202f", " ")
