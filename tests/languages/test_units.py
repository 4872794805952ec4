"""Units as a Spanish reader types and reads them."""

from __future__ import annotations

import pytest

from trainer.formulas.typed import read_answer
from trainer.formulas.units import unit
from trainer.formulas.writing import amount
from trainer.languages import reading_in


@pytest.mark.parametrize(
    ("typed", "value", "name"),
    [
        ("9000 amperios-vuelta", 9000, "A-turn"),
        ("9000 A-vuelta", 9000, "A-turn"),
        ("1800 amperios", 1800, "A"),
        ("1,8 kA", 1.8, "kA"),
        ("5 vueltas", 5, "1"),
        ("7 posiciones", 7, "1"),
        ("1 posición", 1, "1"),
        ("3 1/2 pulgadas", 3.5, "in"),
        ("0,2 miliohmios", 0.2, "mohm"),
        ("45 por ciento", 45, "percent"),
    ],
)
def test_a_unit_may_be_typed_in_spanish(typed: str, value: float, name: str) -> None:
    """The words of a Spanish shop are units too, with or without accents."""
    read = read_answer(typed, "comma")
    assert (read.value, read.unit) == (value, unit(name))


def test_a_unit_that_is_a_word_is_the_readers() -> None:
    """Turns are said in the reader's language, on the page and nowhere else; signs are the same for everybody."""
    assert amount(9000, "A-turn") == "9000\u202fA-turn"
    with reading_in("es"):
        assert amount(9000, "A-turn") == "9000\u202fA-vuelta"
        assert amount(1800, "A") == "1800\u202fA"
    assert unit("A-turn").shown == "A-turn"
