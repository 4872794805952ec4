"""Write formulas as MathML and as the same in words, from our own trees.

Names and numbers come in as ready pieces, so that one writer serves the formula with symbols and the
formula with the exercise's numbers. Named entities are avoided; all text is escaped.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from html import escape

from trainer.formulas.tree import Binary, Call, Choice, Name, Negative, Number, Tree
from trainer.formulas.writing import grouped
from trainer.languages import _
from trainer.languages.numerals import as_read, between

_LOOSE, _SUM, _PRODUCT, _TIGHT = range(4)
_WORD = '<mi mathvariant="italic">'
_SUBSCRIPT = re.compile(r"([A-Z]|[a-z](?=[0-9]+$)|t(?=on$|off$|p$)|k(?=z$|t$)|l(?=t$))([a-z0-9]+)$")


@dataclass(frozen=True, slots=True)
class Piece:
    """Something that stands for a name or a value: its MathML, its words, whether it is one factor."""

    mathml: str
    text: str
    number: bool = False


def symbol_piece(symbol: str, shown: str | None = None) -> Piece:
    """Write a quantity's symbol: D_eff and I1 with a lowered index, L/D as a fraction, words upright."""
    name = shown or symbol
    if "/" in name and len(name) <= 12:
        top, bottom = name.split("/", 1)
        return Piece(f"<mfrac>{_letters(top)}{_letters(bottom)}</mfrac>", name)
    return Piece(_letters(name), name.replace("_", ""))


def _letters(name: str) -> str:
    base, _, index = name.partition("_")
    if not index and (found := _SUBSCRIPT.match(name)):
        base, index = found.groups()
    if index:
        return f'<msub>{_letters(base)}<mi mathvariant="normal">{escape(index)}</mi></msub>'
    if len(base) == 1:
        return f"<mi>{escape(base)}</mi>"
    return f"<mtext>{escape(base)}</mtext>" if " " in base else f"{_WORD}{escape(base)}</mi>"


def value_piece(text: str, unit_shown: str, live: bool = False) -> Piece:
    """Write a number with its unit; ``live`` marks the number that a slip put in."""
    mark, text = ' class="live"' if live else "", as_read(text)
    unit = f'<mspace width="0.17em"/><mtext>{escape(unit_shown)}</mtext>' if unit_shown else ""
    words = f"{text} {unit_shown}".strip() if unit_shown != "°" else f"{text}°"
    return Piece(f"<mrow{mark}><mn>{escape(text)}</mn>{unit}</mrow>", words, number=True)


def mathml(tree: Tree, pieces: Mapping[str, Piece]) -> str:
    """Return the MathML of a tree without the outer <math>."""
    return _ml(tree, pieces, _LOOSE)


def words(tree: Tree, pieces: Mapping[str, Piece]) -> str:
    """Return the same formula as plain text for reading aloud and for print without MathML."""
    return _words(tree, pieces, _LOOSE)


def equation(*sides: str) -> str:
    """Write an equation as pieces that may wrap: ``NI = K/ratio``, then each further ``= ...``."""
    first = f"<mrow>{sides[0]}</mrow><mo>=</mo><mrow>{sides[1]}</mrow>"
    more = (f"<mo>=</mo><mrow>{side}</mrow>" for side in sides[2:])
    return " ".join(f'<math displaystyle="true"><mrow>{piece}</mrow></math>' for piece in (first, *more))


def _ml(tree: Tree, pieces: Mapping[str, Piece], outer: int) -> str:
    if isinstance(tree, Number):
        return f"<mn>{escape(as_read(grouped(tree.text)))}</mn>"
    if isinstance(tree, Name):
        return _constant(tree.symbol) or pieces[tree.symbol].mathml
    if isinstance(tree, Negative):
        return _fenced(f"<mo>\u2212</mo>{_ml(tree.of, pieces, _PRODUCT)}", outer > _SUM)
    if isinstance(tree, Call):
        return _ml_call(tree, pieces)
    if isinstance(tree, Choice):
        return _ml(tree.cases[0][0], pieces, outer)
    return _ml_binary(tree, pieces, outer)


def _ml_binary(tree: Binary, pieces: Mapping[str, Piece], outer: int) -> str:
    if tree.operator == "/":
        return f"<mfrac><mrow>{_ml(tree.left, pieces, _LOOSE)}</mrow><mrow>{_ml(tree.right, pieces, _LOOSE)}</mrow></mfrac>"
    if tree.operator == "^":
        base = _fenced(
            _ml(tree.left, pieces, _TIGHT), _is_amount(tree.left, pieces) or _is_fraction(tree.left)
        )
        return f"<msup>{base}<mrow>{_ml(tree.right, pieces, _LOOSE)}</mrow></msup>"
    if tree.operator == "*":
        seen = _number_follows(tree, pieces) or _word_at_seam(tree, pieces)
        times = "<mo>\u00d7</mo>" if seen else "<mo>\u2062</mo>"
        inner = f"{_ml(tree.left, pieces, _PRODUCT)}{times}{_ml(tree.right, pieces, _PRODUCT)}"
        return _fenced(inner, outer > _PRODUCT)
    sign = "+" if tree.operator == "+" else "\u2212"
    right = _ml(tree.right, pieces, _PRODUCT if sign == "\u2212" else _SUM)
    return _fenced(f"{_ml(tree.left, pieces, _SUM)}<mo>{sign}</mo>{right}", outer > _SUM)


def _is_amount(tree: Tree, pieces: Mapping[str, Piece]) -> bool:
    return isinstance(tree, Name) and tree.symbol in pieces and pieces[tree.symbol].number


def _is_fraction(tree: Tree) -> bool:
    return isinstance(tree, Binary) and tree.operator == "/"


def _number_follows(tree: Binary, pieces: Mapping[str, Piece]) -> bool:
    """Two numbers side by side need a sign between them; symbols do not."""
    right = tree.right
    while isinstance(right, Binary) and right.operator in "*^":
        right = right.left
    if isinstance(right, Name):
        return _is_amount(right, pieces)
    return not isinstance(right, Call) or any(p.number for p in pieces.values())


def _word_at_seam(tree: Binary, pieces: Mapping[str, Piece]) -> bool:
    """A symbol of several letters beside another would run into it, as in aOD for a times OD."""
    left, right = tree.left, tree.right
    while isinstance(left, Binary) and left.operator == "*":
        left = left.right
    while isinstance(right, Binary) and right.operator in "*^":
        right = right.left
    return any(
        isinstance(side, Name) and side.symbol in pieces and _WORD in pieces[side.symbol].mathml
        for side in (left, right)
    )


def _ml_call(tree: Call, pieces: Mapping[str, Piece]) -> str:
    inside = [_ml(a, pieces, _LOOSE) for a in tree.arguments]
    if tree.function == "sqrt":
        return f"<msqrt><mrow>{inside[0]}</mrow></msqrt>"
    if tree.function in {"ceil", "floor", "abs"}:
        left, right = {"ceil": ("\u2308", "\u2309"), "floor": ("\u230a", "\u230b"), "abs": ("|", "|")}[
            tree.function
        ]
        return f"<mrow><mo>{left}</mo>{inside[0]}<mo>{right}</mo></mrow>"
    name = "<msub><mi>log</mi><mn>10</mn></msub>" if tree.function == "log10" else f"<mi>{tree.function}</mi>"
    separated = f"<mo>{between()}</mo>".join(inside)
    return f"<mrow>{name}<mo>\u2061</mo><mo>(</mo>{separated}<mo>)</mo></mrow>"


def _fenced(inner: str, fence: bool) -> str:
    return f"<mrow><mo>(</mo>{inner}<mo>)</mo></mrow>" if fence else f"<mrow>{inner}</mrow>"


def _constant(symbol: str) -> str:
    return {"pi": "<mi>\u03c0</mi>", "mu0": "<msub><mi>\u03bc</mi><mn>0</mn></msub>"}.get(symbol, "")


def _words(tree: Tree, pieces: Mapping[str, Piece], outer: int) -> str:
    if isinstance(tree, Number):
        return as_read(tree.text)
    if isinstance(tree, Name):
        return {"pi": "\u03c0", "mu0": "\u03bc0"}.get(tree.symbol) or _piece_words(pieces[tree.symbol], outer)
    if isinstance(tree, Negative):
        return _brackets(f"\u2212{_words(tree.of, pieces, _PRODUCT)}", outer > _SUM)
    if isinstance(tree, Call):
        name = {"sqrt": "\u221a", "ceil": _("rounded up "), "floor": _("rounded down ")}.get(
            tree.function, tree.function
        )
        return f"{name}({f'{between()} '.join(_words(a, pieces, _LOOSE) for a in tree.arguments)})"
    if isinstance(tree, Choice):
        return _words(tree.cases[0][0], pieces, outer)
    binds = {"+": _SUM, "-": _SUM, "*": _PRODUCT, "/": _PRODUCT, "^": _TIGHT}[tree.operator]
    sign = {"*": " \u00d7 ", "-": " \u2212 ", "^": "^"}.get(tree.operator, f" {tree.operator} ")
    right = _words(tree.right, pieces, binds + (tree.operator in "-/"))
    left = _words(tree.left, pieces, binds + (tree.operator == "^"))
    return _brackets(f"{left}{sign}{right}", outer > binds)


def _piece_words(piece: Piece, outer: int) -> str:
    """L/D below a line, and an amount that is raised to a power with its unit, stand in brackets."""
    open_to_mistake = " " in piece.text if piece.number else "/" in piece.text
    return _brackets(piece.text, open_to_mistake and outer > (_TIGHT if piece.number else _PRODUCT))


def _brackets(text: str, needed: bool) -> str:
    return f"({text})" if needed else text
