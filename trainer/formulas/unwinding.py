"""Undo a formula step by step where the unknown stands in it once.

The result keeps the shape in which a person would write it (``NI/(1 - tol)``), which is what the
working shows; ``solving`` confirms each one with sympy and solves the rest there.
"""

from __future__ import annotations

from trainer.formulas.tree import Binary, Call, Name, Negative, Number, Relation, Tree, mentions, names

_UNDO_CALL = {
    "ln": "exp",
    "exp": "ln",
    "sin": "asin",
    "cos": "acos",
    "tan": "atan",
    "asin": "sin",
    "acos": "cos",
    "atan": "tan",
}


def unwound(relation: Relation, symbol: str) -> Tree | None:
    """Return the right side of ``symbol = ...``, or None where the unknown does not stand exactly once."""
    both = [*names(relation.left), *names(relation.right)]
    if both.count(symbol) != 1:
        return None
    side, other = relation.left, relation.right
    if not mentions(side, symbol):
        side, other = other, side
    while side != Name(symbol):
        step = _undo(side, other, symbol)
        if step is None:
            return None
        side, other = step
    return other


def _undo(side: Tree, other: Tree, symbol: str) -> tuple[Tree, Tree] | None:
    if isinstance(side, Negative):
        return side.of, Negative(other)
    if isinstance(side, Call):
        return _undo_call(side, other)
    if not isinstance(side, Binary):
        return None
    if side.operator == "^":
        return _undo_power(side, other, symbol)
    if mentions(side.left, symbol):
        opposite = {"+": "-", "-": "+", "*": "/", "/": "*"}[side.operator]
        return side.left, _joined(opposite, other, side.right)
    if side.operator in {"+", "*"}:
        return side.right, _joined("-" if side.operator == "+" else "/", other, side.left)
    return side.right, _joined(side.operator, side.left, other)


def _joined(operator: str, left: Tree, right: Tree) -> Tree:
    """Join two trees, keeping fractions flat: (a/b)/c is written a/(b*c), and a*(b/c) stays a*b/c."""
    if operator == "/" and isinstance(left, Binary) and left.operator == "/":
        return Binary("/", left.left, Binary("*", left.right, right))
    if operator == "/" and isinstance(right, Binary) and right.operator == "/":
        return Binary("/", _joined("*", left, right.right), right.left)
    if operator == "*" and isinstance(right, Binary) and right.operator == "/":
        return Binary("/", Binary("*", left, right.left), right.right)
    return Binary(operator, left, right)


def _undo_call(side: Call, other: Tree) -> tuple[Tree, Tree] | None:
    inner = side.arguments[0]
    if side.function == "sqrt":
        return inner, Binary("^", other, Number("2"))
    if side.function == "log10":
        return inner, Binary("^", Number("10"), other)
    undo = _UNDO_CALL.get(side.function)
    return (inner, Call(undo, (other,))) if undo else None


def _undo_power(side: Binary, other: Tree, symbol: str) -> tuple[Tree, Tree] | None:
    if mentions(side.right, symbol):
        return side.right, Binary("/", Call("ln", (other,)), Call("ln", (side.left,)))
    if side.right == Number("2"):
        return side.left, Call("sqrt", (other,))
    return side.left, Binary("^", other, _joined("/", Number("1"), side.right))
