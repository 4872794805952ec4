"""Decimals behind the reader's sign: shown so, kept with a point."""

from __future__ import annotations

import re

import pytest

from tests.languages.sentences import in_spanish
from trainer.drawing.measures import dial
from trainer.drills.checking import check_find
from trainer.drills.draw import read_number
from trainer.drills.shelf import Shelf
from trainer.drills.sketch import sketch
from trainer.drills.working import accepted_says, working
from trainer.formulas.typed import read_answer
from trainer.formulas.writing import amount, kept_number, number, with_unit
from trainer.languages import reading_in
from trainer.languages.numerals import as_read, reading_with, with_commas
from trainer.practice.skill import Skill, sentences

DRILL = "coil-low-fill-wall"


@pytest.mark.parametrize(
    ("text", "shown"),
    [("4.5", "4,5"), ("0.25 to 12.75", "0,25 to 12,75"), ("1875", "1875"), ("T-752.", "T-752."), ("", "")],
)
def test_a_point_between_digits_is_the_readers(text: str, shown: str) -> None:
    """Only a point that stands between two digits is a decimal sign."""
    assert as_read(text) == text
    with reading_with("comma"):
        assert as_read(text) == shown


def test_numbers_are_shown_with_a_comma_and_kept_with_a_point() -> None:
    """What is shown follows the reader; what is kept is the same for everybody and can be read back."""
    with reading_with("comma"):
        assert number(4.5) == "4,5"
        assert amount(12.3, "mm") == "12,3\u202fmm"
        assert with_unit("12.5", "in") == "12,5\u202fin"
        assert kept_number(45000.25, 8) == "45\u202f000.25"
        assert read_number(kept_number(0.125, 4)) == 0.125
    assert number(4.5) == "4.5"


def test_what_is_kept_inside_a_page_has_a_point_again() -> None:
    """Whoever writes what is kept says so by the language, and the sign goes with it."""
    with reading_with("comma"):
        with reading_in("en"):
            assert amount(4.5, "kA") == "4.5\u202fkA"
        assert amount(4.5, "kA") == "4,5\u202fkA"


def test_a_comma_reader_draws_the_same_exercise(shelf: Shelf) -> None:
    """The numbers of an exercise are the same for every reader; only their writing on the page differs."""
    here = shelf.draw(DRILL, 7, "I")
    with reading_with("comma"):
        assert shelf.draw(DRILL, 7, "I") == here


def test_working_figure_and_dial_have_the_readers_sign(shelf: Shelf) -> None:
    """Every picture and every line of the working is written with the comma, and none with a point."""
    mould, drawn = shelf.mould(DRILL, "I"), shelf.draw(DRILL, 3, "I")
    assert any("." in text for text in drawn.texts.values()), "the exercise has a decimal"
    with reading_with("comma"):
        told = [accepted_says(mould, drawn), *(line.right_text for line in working(mould, drawn))]
        written = "".join(
            re.findall(r"<mn>[^<]*</mn>", "".join(line.right_mathml for line in working(mould, drawn)))
        )
        figure = sketch(mould.read.drill, drawn, "f", solved=True)
        meter = dial(12.5, 10.25, 14.75, "A", "current")
        told += [figure.desc, figure.scale_says, *re.findall(r"<desc[^>]*>([^<]*)<", meter), written]
        told += re.findall(r"<text[^>]*>([^<]*)</text>", figure.svg + meter)
    assert not [text for text in told if re.search(r"[0-9]\.[0-9]", text)]
    for where in (written, figure.desc, meter):
        assert re.search(r"[0-9],[0-9]", where)


def test_typed_answers_are_read_by_their_own_habit() -> None:
    """How an answer is read is told to the reader of answers and is not taken from the page."""
    with reading_with("comma"):
        assert read_answer("1.5 kA").value == 1.5
        assert read_answer("1,5 kA", "comma").value == 1.5


def test_how_far_a_skill_is_has_the_sign_too() -> None:
    """The average in the sentence of a skill."""
    with reading_with("comma"):
        said = sentences(Skill(theta=0.49, answers=13), today=None)  # type: ignore[arg-type]  # begun needs no day
    assert said == (
        "Begun: your average of right answers stands at 0,49.",
        "At 0,80 and after 8 answers it is steady; you have given 13.",
    )


def test_a_bank_is_checked_alike_by_every_reader(shelf: Shelf) -> None:
    """What is printed is read back by the check; a reader of Spanish with a comma finds no other faults."""
    mould = shelf.mould(DRILL, "I")
    with reading_in("es"), reading_with("comma"):
        assert check_find(shelf.bank.drill(DRILL), mould, 4).faults == ()


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("A factor of 25.4. Divide 43 000/25.4", "A factor of 25,4. Divide 43 000/25,4"),
        ("3.54 and 4.33; 1.7241e-8", "3,54 and 4,33; 1,7241e-8"),
        ("29 CFR 1910.147, T-753.2(a), 8.1.5", "29 CFR 1910.147, T-753.2(a), 8.1.5"),
        ("AC 43.13-1B, B16.34-2020, apartado 9.2", "AC 43.13-1B, B16.34-2020, apartado 9.2"),
    ],
)
def test_a_sentence_keeps_the_points_of_documents(text: str, told: str) -> None:
    """A decimal in a sentence gets its comma; the number of a document, a rule or a clause does not."""
    assert with_commas(text) == told


def test_every_decimal_of_the_bank_gets_its_comma() -> None:
    """Said with commas, the Spanish bank has a point between digits in no number but those of documents."""
    documents = re.compile(
        r"\W*(?:43\.13-1B|19(?:10|26)\.\d+|B16\.34-2020|T-753\.2|CGSB-48\.9712|8\.1\.5)\W*"
    )
    told = [with_commas(one.spanish) for one in in_spanish() if one.of_bank]
    assert any("25,4" in text for text in told)
    left = {found for text in told for found in re.findall(r"[\w.-]*\d\.\d[\w.-]*", text)}
    assert {one for one in left if not documents.fullmatch(one)} == set()
