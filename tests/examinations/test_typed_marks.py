"""Marks typed at speed: lines are read whole or refused by their number, and two typings are held together."""

from __future__ import annotations

import pytest

from trainer.errors import Refused
from trainer.examinations.typed_marks import MOST_LINES, Marks, differences, read, value_of

PAPERS = {1: [True, False, True], 2: [True, False, True]}


def test_lines_as_they_are_typed() -> None:
    """Small letters, spaces between signs, empty lines, nothing written, and a line taken back."""
    assert read("1 tv-07 a r -\n\n  2   TV-08 Dw c \n", PAPERS) == {
        1: Marks("TV-07", "AR-"), 2: Marks("TV-08", "DWC"),
    }  # fmt: skip
    assert read("2 -", PAPERS) == {2: Marks("", "")}


def test_values_stand_in_brackets() -> None:
    """As they are written, but for needless spaces: mT is another unit than MT. A question takes none."""
    found = read("1 tv-07 a[ 1.8  kA ]b\n2 TV-08 A [3 1/2 in] -", PAPERS)
    assert found[1] == Marks("TV-07", "A[1.8 kA]B")
    assert found[1].items == ["A", "[1.8 kA]", "B"]
    assert [value_of(sign) for sign in found[2].items] == [None, "3 1/2 in", None]
    assert differences(found[1], Marks("TV-07", "A[1.8 A]B")) == [("2", "[1.8 kA]", "[1.8 A]")]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "Type a line for each paper"),
        ("3 TV-07 ARB", "Line 1: begins with the number of a paper"),
        ("² TV-07 ARB", "Line 1: begins with the number of a paper"),
        ("1", "Line 1: the works number and the signs"),
        ("1 TV-07 AR", "Line 1: paper 1 has 3 items, here are 2 signs"),
        ("1 TV-07 ARR", "Line 1: item 3 takes A to D"),
        ("1 TV-07 AAB", "Line 1: item 2 takes its value as in .1800 A."),
        ("1 TV-07 A[]B", "Line 1: item 2 takes its value"),
        (f"1 TV-07 A[{'1' * 41}]B", "of at most 40 characters"),
        ("1 TV-07 [1 A]RB", "Line 1: item 1 takes A to D"),
        ("1 TV-07 A[1 A B", "Line 1: paper 1 has 3 items, here are 5 signs"),
        ("1 TV-07 ARB\n1 TV-08 ARB", "Line 2: paper 1 stands above already"),
        ("x\n" * 7, "And 2 more"),
        ("1 TV-07 ARB\n" * (MOST_LINES + 1), "at most 200 lines"),
    ],
)
def test_a_line_that_cannot_be_read_is_named(text: str, says: str) -> None:
    """The sentence tells which line and what it should hold."""
    with pytest.raises(Refused, match=says):
        read(text, PAPERS)


def test_where_two_typings_differ() -> None:
    """The candidate first, then each item with both signs; nothing where they agree."""
    first = Marks("TV-07", "ARB")
    assert differences(first, Marks("TV-07", "ARB")) == []
    assert differences(first, Marks("TV-08", "AWB")) == [("candidate", "TV-07", "TV-08"), ("2", "R", "W")]
