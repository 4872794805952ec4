"""The reader of what is printed finds nothing in sound exercises, and a changed number wherever it stands."""

from __future__ import annotations

import re

import pytest

from tests.banks import shipped_shelf
from trainer.drawing.figures import Figure
from trainer.drawing.inspection import lettering, misfits
from trainer.drills import proofreading
from trainer.drills.checking import misprinted
from trainer.drills.proofreading import misprints, miswritten
from trainer.drills.sketch import sketch

SHELF = shipped_shelf()
MOULD = SHELF.mould("coil-low-fill-wall", "I")
DRAWN = SHELF.draw("coil-low-fill-wall", 7, "I")
FIGURE = sketch(MOULD.read.drill, DRAWN, "f", solved=True)


def changed(figure: Figure, old: str, new: str) -> Figure:
    """The figure with one text or place replaced."""
    assert old in figure.svg
    svg = figure.svg.replace(old, new, 1)
    return Figure(svg, figure.title, figure.desc, figure.width, figure.height, figure.scale_says)


@pytest.mark.parametrize("drill", sorted(SHELF.bank.drills))
def test_the_bank_is_printed_as_it_is_drawn(drill: str) -> None:
    """Figure and working of every find say the exercise's numbers and fit their places."""
    for find in SHELF.bank.drill(drill).drill.finds:
        mould = SHELF.mould(drill, find)
        for seed in range(2):
            assert list(misprinted(mould, SHELF.draw(drill, seed, find))) == [], (find, seed)


def test_a_wrong_number_in_the_figure_is_found() -> None:
    """A length that is not the exercise's is named with what it should be."""
    text = next(text for text, _ in lettering(FIGURE) if text.startswith("L = "))
    wrong = changed(FIGURE, f">{text}<", ">L = 99\u202fin<")
    assert list(miswritten(MOULD.read.drill, DRAWN, FIGURE)) == []
    assert [says.split(",")[0] for says in miswritten(MOULD.read.drill, DRAWN, wrong)] == [
        "the figure writes L = 99\u202fin"
    ]


def test_a_wrong_line_of_the_working_is_found(monkeypatch: pytest.MonkeyPatch) -> None:
    """A side that does not work out, and an end that is another number, are both found."""
    from trainer.drills.working import Line

    symbol, value = "I", DRAWN.answer
    lines = [
        Line(symbol, "Current", "", "", f"I = NI / N = 45000 / 5 = {value:.0f} A"),
        Line(symbol, "Current", "", "", "I = NI / N = 1 A"),
    ]
    monkeypatch.setattr(proofreading, "working", lambda *_: lines)
    found = list(misprints(MOULD, DRAWN))
    assert [says[:30] for says in found] == [
        "the working says 45000 / 5, wh",
        "the working ends with 1 A for ",
    ]


@pytest.mark.parametrize(
    ("text", "value", "found"),
    [
        ("I = x = 1 / 2 = 0.2 A", 0.2, ["the working says 1 / 2, "]),
        ("I = x = 1 / 5 = 0.3 A", 0.2, ["the working ends with 0."]),
        ("I = x = 5 - 5 = 0 A", 0.0, []),
        ("I = x = 103 / 100 = 1 A", 1.0, ["the working says 103 / 1"]),
        ("I = x = 101 / 100 = 1 A", 1.0, []),
    ],
)
def test_a_small_number_is_held_as_closely(
    monkeypatch: pytest.MonkeyPatch, text: str, value: float, found: list[str]
) -> None:
    """A side that gives a half is not the fifth at the end, though both are near nothing; nothing is nothing."""
    from trainer.drills.working import Line

    monkeypatch.setattr(proofreading, "working", lambda *_: [Line("I", "Current", "", "", text)])
    small = DRAWN._replace(values={**DRAWN.values, "I": value})
    assert [says[:24] for says in misprints(MOULD, small)] == found


def test_every_numeric_side_is_read() -> None:
    """No side of a working that holds only numbers is passed over because it could not be read."""
    from trainer.drills.working import working
    from trainer.formulas.units import unit

    for drill, entry in SHELF.bank.drills.items():
        signs = {unit(q.unit).shown for q in entry.drill.quantities.values()}
        mould = SHELF.mould(drill)
        for line in working(mould, SHELF.draw(drill, 1)):
            for side in line.right_text.split(" = ")[2:-1]:
                assert proofreading._worked(side, signs) is not None, (drill, side)


def test_what_does_not_fit_is_found() -> None:
    """A word off the sheet, a word on a word, a line off the sheet and a place that is no number."""
    assert list(misfits(FIGURE)) == []
    first = re.search(r'<text class="[^"]*" x="([^"]*)" y="([^"]*)"', FIGURE.svg)
    assert first
    off = changed(FIGURE, f'x="{first[1]}" y="{first[2]}"', f'x="900" y="{first[2]}"')
    assert any("does not fit on the sheet" in says for says in misfits(off))
    place = r'(<text class="[^"]*") x="[^"]*" y="[^"]*"'
    heap = re.sub(place, rf'\1 x="{first[1]}" y="{first[2]}"', FIGURE.svg)
    on = Figure(heap, "", "", FIGURE.width, FIGURE.height, "")
    assert any(" lies on " in says for says in misfits(on))
    line = re.search(r'x2="([^"]*)"', FIGURE.svg)
    assert line
    assert any("leaves its sheet" in says for says in misfits(changed(FIGURE, line[0], 'x2="4000"')))
    assert any("no number" in says for says in misfits(changed(FIGURE, line[0], 'x2="nan"')))
