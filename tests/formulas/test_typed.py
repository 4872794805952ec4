"""Typed answers: what people write is read; everything else gets a sentence and is never evaluated."""

from __future__ import annotations

import re
from contextlib import suppress

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.work import calls_in
from trainer.formulas.typed import AnswerProblem, read_answer

READ = [
    ("1800", 1800, None), ("1,800 A", 1800, "A"), ("1.8 kA", 1.8, "kA"), ("1.8e3", 1800, None), ("1.8e3 A", 1800, "A"),
    ("3 1/2 in", 3.5, "in"), ("3-1/2 in", 3.5, "in"), ('12"', 12, "in"), ("12.5 mm", 12.5, "mm"), ("12.5mm", 12.5, "mm"),
    ("1/2 in", 0.5, "in"), ("3½ in", 3.5, "in"), ("1 800 A", 1800, "A"), ("1'800 A", 1800, "A"), (".5 in", 0.5, "in"),
    ("12,345.6 A", 12345.6, "A"), ("1.8 x 10^3 A", 1800, "A"), ("\u22125 °C", -5, "degC"), ("25 %", 25, "percent"),
    ("2' 6\"", 30, "in"), ("2'6\"", 30, "in"), ("2 ft 6 1/2 in", 30.5, "in"), ("1'800\"", 1800, "in"), ("2'", 2, "ft"),
    ("ø 50 mm", 50, "mm"), ("⌀50 mm", 50, "mm"), ("≈1800 A", 1800, "A"), ("~ 1800 A", 1800, "A"), ("= 1800 A", 1800, "A"),
    ("I = 1800 A.", 1800, "A"), ("L/D=5", 5, None), ("1800A!", 1800, "A"), ("1.25·10^-2 m", 0.0125, "m"),
    ("1800 A·turns", 1800, "A-turn"), ("45 A/inch", 45, "A/in"), ("4 mins", 4, "min"), ("1800 ampères", 1800, "A"),
    ("5 vueltas", 5, "1"), ("1800 amperios", 1800, "A"), ("2 pies 6 pulgadas", 30, "in"), ("12 milímetros", 12, "mm"),
    ("1.800,5 A", 1800.5, "A"), ("1.800.000", 1800000, None), ("1 800,5 A", 1800.5, "A"),
    ("45\u202f000 A-turns", 45000, "A-turn"), ("5 turns", 5, "1"), ("  1800   amps ", 1800, "A"), ("1800 AMPS", 1800, "A"),
    ("1e15", 1e15, None), ("1e-15 m", 1e-15, "m"), ("-1e15", -1e15, None), ("0 A", 0, "A"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "value", "name"), READ)
def test_what_people_write_is_read(text: str, value: float, name: str | None) -> None:
    """Number and unit come out as they were meant."""
    typed = read_answer(text)
    assert typed.value == pytest.approx(value, abs=0)
    assert (typed.unit.name if typed.unit else None) == name


@pytest.mark.parametrize(
    ("text", "value"),
    [("1,8 kA", 1.8), ("1.800 A", None), ("1800,5", 1800.5), ("12.5", 12.5), ("1,800.5 A", 1800.5)],
)
def test_decimal_comma_by_setting(text: str, value: float | None) -> None:
    """With the comma as habit 1,8 is less than two, and a point before three digits makes thousands."""
    assert read_answer(text, "comma").value == pytest.approx(1800 if value is None else value)


@pytest.mark.parametrize(
    ("text", "plain"), [("1,8 kA", "1.8"), ("12,5 mm", "12.5"), (",5 in", ".5"), ("0,1234", "0.1234")]
)
def test_a_comma_with_one_reading_is_not_called_two(text: str, plain: str) -> None:
    """With the point as habit such a comma is not taken, but the sentence says how to write it, and where to choose."""
    with pytest.raises(AnswerProblem, match=rf"account page\. Write {re.escape(plain)}\.$"):
        read_answer(text)
    with pytest.raises(AnswerProblem, match="two ways"):
        read_answer("1,80,5")


HOSTILE = [
    ("10**10**10", "number"), ("9" * 100_000, "long"), ("(" * 40, "number"), ("(" * 100_000, "long"),
    ("NaN", "number"), ("inf", "number"), ("-inf A", "number"), ("1\u200b800", "character"), ("１８００", "character"),
    ("18\x0000", "character"), ("18\x1b[0m", "character"), ("", "empty"), ("  \t ", "empty"), ("1e99", "size"),
    ("1e-99", "size"), ("2+2", "number"), ("2*3 A", "number"), ("1/0 in", "number"), ("1,8 A", "comma"), ("1,80", "comma"),
    ("12 furlongs", "unit"), ("A", "number"), ("__import__('os')", "character"), ("1.2.3", "number"), ("\U0001f600", "character"),
    ("0x10", "unit"), ("1e400", "size"), ("1e-9999", "size"), ("2' 14\"", "number"), ("4 min 30 s", "number"), ("3 - 1/2 in", "number"),
    ("1.80,5", "comma"), ("?", "empty"), ("=" * 40, "character"), ("I = ", "empty"), ("1800 A; drop", "character"),
    ("1000000000000001", "size"), ("1.1e15", "size"), ("-1.1e15", "size"), ("9e-16", "size"), ("-9e-16 m", "size"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "kind"), HOSTILE)
def test_hostile_text_gets_its_sentence_at_once(text: str, kind: str) -> None:
    """Each trouble has its own kind and one sentence, after little work, however long the text is."""
    problems: list[AnswerProblem] = []

    def refused() -> None:
        try:
            read_answer(text)
        except AnswerProblem as problem:
            problems.append(problem)

    refused()  # tables and patterns are made at the first reading, whichever test comes first
    assert calls_in(refused) < 200
    for problem in problems:
        assert problem.kind == kind
        assert str(problem).endswith((".", "..."))
    assert len(problems) == 2


@given(st.text(max_size=60), st.sampled_from(["point", "comma"]))
def test_any_text_is_a_number_or_a_problem(text: str, decimal: str) -> None:
    """No text makes the reader fall over."""
    with suppress(AnswerProblem):
        assert abs(read_answer(text, decimal).value) <= 1e15


@pytest.mark.parametrize("text", ["3/", "3 /x", "12 / in"])
def test_a_stroke_without_a_unit_is_no_number(text: str) -> None:
    """A fraction that was not finished is asked for anew; a unit that begins with a stroke is one."""
    with pytest.raises(AnswerProblem, match="cannot be read"):
        read_answer(text)
