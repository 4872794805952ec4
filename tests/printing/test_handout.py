"""Hand-outs: each sheet has its numbers and its key, the same data give the same bytes, hostile names are text."""

from __future__ import annotations

import io
import re
from gettext import NullTranslations

import pytest
from pypdf import PdfReader

from tests.make import NOW
from trainer import languages
from trainer.errors import Refused
from trainer.languages import reading_in
from trainer.printing import examination
from trainer.printing.handout import MOST_SHEETS, Given, Item, Sheet, pdf
from trainer.web.instructor.handouts import style


def make_item(**changes: object) -> Item:
    """One exercise, as a page would hand it over."""
    values: dict[str, object] = {
        "ask": "Which current do you set?", "situation": "The bar lies in the coil.", "drawing": "", "scale": "",
        "given": (Given("Bar", "part length", "L", "13.5 in"),), "unknown": "Current", "answer": "1234 A",
        "accepted": "Accepted is 1230 to 1240 A.", "steps": ("I = 45000 / (5 · 6)",),
    }  # fmt: skip
    return Item(**(values | changes))  # type: ignore[arg-type]


def text_of(data: bytes) -> list[str]:
    """The text of each page."""
    return [page.extract_text() for page in PdfReader(io.BytesIO(data)).pages]


def said_language(data: bytes) -> str:
    """The language that the file gives for its text."""
    return str(PdfReader(io.BytesIO(data)).trailer["/Root"]["/Lang"])


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


def test_sheets_are_in_the_language_of_their_reader() -> None:
    """Labels, foot and keys are Spanish, the file says that it is, and its bytes are the same each time."""
    sheets = [Sheet(1, "", (make_item(),))]
    with reading_in("es"):
        data = pdf("a", "b", "1", sheets, NOW)
        assert pdf("a", "b", "1", sheets, NOW) == data != pdf("a", "b", "2", sheets, NOW)
    sheet, key = text_of(data)
    for words in ("Nombre", "Hoja", "Su desarrollo", "Current, con su unidad:", "hoja 1 de 1", "página 1"):
        assert words in sheet, words
    assert "clave de la hoja 1 de 1" in key
    assert "Which current do you set? Accepted is 1230 to 1240 A." in key
    assert (said_language(data), said_language(pdf("a", "b", "1", sheets, NOW))) == ("es", "en")


def test_papers_and_keys_are_in_the_language_of_their_reader() -> None:
    """A paper in Spanish shows no key; the marking grid says in Spanish how it is used."""
    item = examination.Item("¿Qué?", "", "", "", (), (examination.Option("A", "Uno"),), "", "A")
    heading, wanted = examination.Heading("a", "b", "1", "c"), [examination.Paper(3, (item,))]
    with reading_in("es"):
        paper, keys = examination.papers(heading, wanted, NOW), examination.keys(heading, wanted, NOW)
    assert "ejemplar 3 de 1" in text_of(paper)[0]
    assert "Plantilla de corrección: a" in text_of(keys)[0]
    assert (said_language(paper), said_language(keys)) == ("es", "es")


class Loud(NullTranslations):
    """A language in which everything is said in capitals, but for the names of values."""

    def gettext(self, message: str) -> str:
        """The sentence in capitals."""
        return re.sub(
            r"%\(\w+\)s|\w+", lambda found: found[0] if found[0][0] == "%" else found[0].upper(), message
        )

    def pgettext(self, context: str, message: str) -> str:
        """The same in every context."""
        return self.gettext(message)


def test_no_word_of_a_form_is_out_of_reach(monkeypatch: pytest.MonkeyPatch) -> None:
    """With data in capitals nothing is left in small letters on any sheet, key or grid."""
    monkeypatch.setattr(languages, "catalogue", lambda _tag: Loud())
    drill = examination.Item(
        "ASK", "S", "", "", (Given("BAR", "LENGTH", "L", "1 IN"),), (), "I", "1 A", "1 TO 2 A", ("I = 1",)
    )
    question = examination.Item("ASK", "", "", "", (), (examination.Option("A", "ONE"),), "", "A")
    heading, wanted = examination.Heading("T", "H", "1", "RULES"), [examination.Paper(1, (drill, question))]
    exercise = Item(
        drill.ask, drill.situation, "", "", drill.given, "I", drill.answer, drill.accepted, drill.steps
    )
    with reading_in("es"):
        made = (
            examination.papers(heading, wanted, NOW), examination.keys(heading, wanted, NOW),
            pdf("T", "H", "1", [Sheet(1, "", (exercise,))], NOW),
        )  # fmt: skip
    assert [re.findall(r"\b[a-z]{2,}\b", "\n".join(text_of(data))) for data in made] == [[], [], []]


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
