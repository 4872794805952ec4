"""Hand-outs: each sheet has its numbers and its key, the same data give the same bytes, hostile names are text."""

from __future__ import annotations

import io

import pytest
from pypdf import PdfReader

from tests.make import NOW
from trainer.errors import Refused
from trainer.printing.handout import MOST_SHEETS, Given, Item, Sheet, pdf
from trainer.web.instructor.handouts import style


def make_item(**changes: object) -> Item:
    """One exercise, as a page would hand it over."""
    values: dict[str, object] = {
        "ask": "Which current do you set?", "situation": "The bar lies in the coil.", "drawing": "", "scale": "",
        "given": (Given("Bar", "part length", "L", "13.5 in"),), "unknown": "Current", "answer": "1234 A",
        "accepted": "1230 to 1240 A", "steps": ("I = 45000 / (5 · 6)",),
    }  # fmt: skip
    return Item(**(values | changes))  # type: ignore[arg-type]


def text_of(data: bytes) -> list[str]:
    """The text of each page."""
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def test_sheets_come_first_and_keys_behind() -> None:
    """Two people: a sheet each without any answer, then the keys in the same order with the numbers of the sheets."""
    sheets = [Sheet(1, "TV-07 Tess", (make_item(),)), Sheet(2, "", (make_item(answer="987 A"),))]
    pages = text_of(pdf("First currents", "Tarn Valley", "4711", sheets, NOW))
    first, second, one, two = pages
    assert ("1234 A" in first + second, "TV-07 Tess" in first) == (False, True)
    assert ("key of sheet 1 of 4711" in one, "1234 A" in one) == (True, True)
    assert ("key of sheet 2 of 4711" in two, "987 A" in two) == (True, True)


def test_the_same_data_give_the_same_bytes() -> None:
    """A printing can be made again."""
    sheets = [Sheet(1, "", (make_item(),))]
    assert pdf("a", "b", "1", sheets, NOW) == pdf("a", "b", "1", sheets, NOW)


def test_a_name_is_text_and_nothing_else() -> None:
    """Markup of the PDF writer in a title, a name or a question is printed as it stands."""
    hostile = '#panic("x") *bold* $x$ @ref'
    pages = text_of(pdf(hostile, hostile, "1", [Sheet(1, hostile, (make_item(ask=hostile),))], NOW))
    assert '#panic("x")' in pages[0]


@pytest.mark.parametrize(
    "sheets", [[], [Sheet(1, "", ())], [Sheet(n, "", (make_item(),)) for n in range(MOST_SHEETS + 1)]]
)
def test_nothing_and_too_much_are_refused(sheets: list[Sheet]) -> None:
    """An empty printing and one that would not end get a sentence."""
    with pytest.raises(Refused, match="Print 1 to"):
        pdf("a", "b", "1", sheets, NOW)


def test_a_drawing_stands_alone_with_the_values_of_white_paper() -> None:
    """No name of the style sheet is left open, and the arrowheads come along."""
    alone = style().alone(
        '<svg class="figure" viewBox="0 0 9 9"><line class="dim" x1="0" y1="0" x2="9" y2="9"/></svg>'
    )
    assert alone.startswith('<svg xmlns="http://www.w3.org/2000/svg" class="figure"')
    assert ("var(" in alone, 'id="arrow"' in alone, ".dim{" in alone) == (False, True, True)
    pdf("a", "b", "1", [Sheet(1, "", (make_item(drawing=alone),))], NOW)
