"""MathML: well-formed for every working line of the bank, with words beside it."""

from __future__ import annotations

import re
from xml.etree import ElementTree

import pytest

from tests.banks import shipped_shelf
from trainer.drills.working import working
from trainer.formulas.mathml import mathml, symbol_piece, value_piece, words
from trainer.formulas.reading import read_relation, read_tree

TAGS = {"math", "mrow", "mi", "mn", "mo", "mtext", "mfrac", "msup", "msub", "msqrt", "mspace", "lines"}


def test_every_working_line_is_well_formed() -> None:
    """All lines of all finds, right and with each slip, parse as XML of known elements."""
    shelf = shipped_shelf()
    seen = 0
    for entry in shelf.bank.drills.values():
        for find in entry.drill.finds:
            mould, exercise = shelf.mould(entry.drill.id, find), shelf.draw(entry.drill.id, 3, find)
            for slips in ((), *((entry.drill.slips[s.place].id,) for s in exercise.slips[:2])):
                for line in working(mould, exercise, slips):
                    tree = ElementTree.fromstring(f"<lines>{line.right_mathml}{line.slip_mathml}</lines>")
                    assert {e.tag for e in tree.iter()} <= TAGS
                    assert " = " in line.right_text
                    seen += 1
    assert seen > 500


def test_index_and_fraction_of_a_symbol() -> None:
    """I1 gets a lowered index and L/D stands as a fraction."""
    assert "<msub><mi>I</mi>" in symbol_piece("I1").mathml
    assert symbol_piece("ratio", "L/D").mathml == "<mfrac><mi>L</mi><mi>D</mi></mfrac>"


def test_text_is_escaped() -> None:
    """A sign that means something in XML is written so that it does not."""
    assert "<mtext>&lt;b&gt;</mtext>" in value_piece("1", "<b>").mathml


def test_brackets_stand_where_they_must() -> None:
    """A sum inside a product is bracketed in markup and in words."""
    pieces = {s: symbol_piece(s) for s in "abc"}
    tree = read_tree("a*(b + c)", set("abc"))
    assert words(tree, pieces) == "a × (b + c)"
    assert mathml(tree, pieces).count("<mo>(</mo>") == 1


def test_what_is_one_thing_in_markup_is_bracketed_in_words() -> None:
    """L/D below a line and an amount raised with its unit cannot be misread; a plain number needs no brackets."""
    signs = {"K": symbol_piece("K"), "r": symbol_piece("ratio", "L/D"), "D": symbol_piece("D")}
    assert words(read_tree("K/r", {"K", "r"}), signs) == "K / (L/D)"
    assert words(read_tree("r*D", {"r", "D"}), signs) == "L/D × D"
    assert words(read_tree("r^2 - r", {"r"}), signs) == "(L/D)^2 − L/D"
    amounts = {"a": value_piece("0.3", "m"), "b": value_piece("2", ""), "c": value_piece("500", "A/in")}
    assert words(read_tree("a^2", {"a"}), amounts) == "(0.3 m)^2"
    assert words(read_tree("b^2", {"b"}), amounts) == "2^2"
    assert words(read_tree("a/c", {"a", "c"}), amounts) == "0.3 m / 500 A/in"


def test_symbols_of_several_letters_do_not_run_together() -> None:
    """a times OD has its sign, a times D and a times I1 need none."""
    pieces = {s: symbol_piece(s) for s in ("a", "OD", "D", "I1")}
    for text, signs in (("a*OD", 1), ("OD*a", 1), ("a*OD**2", 1), ("a*D", 0), ("a*I1", 0)):
        assert mathml(read_tree(text, set(pieces)), pieces).count("<mo>\u00d7</mo>") == signs, text


def test_a_rule_with_rows_is_shown_by_its_first() -> None:
    """Where a rule stands as a whole, its first row stands for it."""
    pieces = {s: symbol_piece(s) for s in "aby"}
    rule = read_relation("y = 2*a if a > 3, 4*a if a < 1", set("ay")).right
    first = read_tree("2*a", set("a"))
    assert mathml(rule, pieces) == mathml(first, pieces)
    assert words(rule, pieces) == words(first, pieces) == "2 × a"


SIGNS = [
    ("a + b", "+", 0, "a + b"), ("a - b", "\u2212", 0, "a \u2212 b"), ("a + b + c", "++", 0, "a + b + c"),
    ("a - b + c", "\u2212+", 0, "a \u2212 b + c"), ("a - (b + c)", "\u2212+", 1, "a \u2212 (b + c)"),
    ("a - (b - c)", "\u2212\u2212", 1, "a \u2212 (b \u2212 c)"), ("-a + b", "\u2212+", 0, "\u2212a + b"),
    ("a*(b*c)", "", 0, "a \u00d7 b \u00d7 c"), ("(a*b)*c", "", 0, "a \u00d7 b \u00d7 c"), ("(a*b)^c", "", 1, "(a \u00d7 b)^c"),
    ("(-a)^c", "\u2212", 1, "(\u2212a)^c"), ("(-a)*c", "\u2212", 1, "(\u2212a) \u00d7 c"), ("-(a + b)", "\u2212+", 1, "\u2212(a + b)"),
]  # fmt: skip


@pytest.mark.parametrize(("text", "signs", "brackets", "spoken"), SIGNS)
def test_plus_and_minus_are_told_apart(text: str, signs: str, brackets: int, spoken: str) -> None:
    """Each sign is its own, and only what a minus, a product or a power takes as a whole is bracketed."""
    pieces = {s: symbol_piece(s) for s in "abc"}
    tree = read_tree(text, set("abc"))
    markup = mathml(tree, pieces)
    assert "".join(re.findall("<mo>([+\u2212])</mo>", markup)) == signs
    assert markup.count("<mo>(</mo>") == brackets
    assert words(tree, pieces) == spoken
