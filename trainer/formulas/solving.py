"""Solve a relation for one of its symbols, check the solution, give it back as our own tree.

Where the unknown stands once the relation is unwound, which keeps a person's way of writing, and
sympy confirms the result; where it stands several times sympy solves. Either way the solution must
give the relation back at well spread points. sympy is imported only here and only when a relation is
new: solved forms are kept as text (``solved.SolvedForms``). sympy never reads text and never prints;
trees are built both ways by table.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Any

from trainer.formulas.compiling import compiled_tree
from trainer.formulas.plain import plain
from trainer.formulas.tree import (
    Binary,
    Call,
    Choice,
    Name,
    Negative,
    Number,
    Relation,
    Tree,
    mentions,
    replaced,
)
from trainer.formulas.tree import replaced_test as _retested
from trainer.formulas.unwinding import unwound

_CHECKS = 6  # points at which a solution must give the unknown back
_TRIES = 1000


def solved_for(relation: Relation, symbol: str) -> Tree | None:
    """Return the right side of ``symbol = ...``, or None where no checked solution exists.

    Where ceil, floor, min or max stand between the unknown and the result, the plain solution
    without the rounding or the limit is meant (catalogue convention).
    """
    if relation.left == Name(symbol) and not mentions(relation.right, symbol):
        return relation.right
    if isinstance(relation.right, Choice):
        return _solved_choice(relation.left, relation.right, symbol)
    flat = Relation(plain(relation.left, symbol), plain(relation.right, symbol))
    by_hand = unwound(flat, symbol)
    if by_hand is not None:
        return by_hand if _gives_back(flat, symbol, by_hand) and _confirmed(flat, symbol, by_hand) else None
    for tree in _candidates(flat, symbol):
        if _gives_back(flat, symbol, tree):
            return tree
    return None


def _solved_choice(left: Tree, choice: Choice, symbol: str) -> Tree | None:
    """Solve each branch; its condition is asked of the branch's own solution."""
    cases = []
    for value, test in choice.cases:
        tree = solved_for(Relation(left, value), symbol)
        if tree is None:
            return None
        cases.append((tree, _retested(test, {symbol: tree})))
    return Choice(tuple(cases))


def _candidates(relation: Relation, symbol: str) -> Iterator[Tree]:
    import sympy

    symbols = {s: sympy.Symbol(s, positive=True) for s in relation.symbols}
    unknown = sympy.Symbol(symbol, real=True)
    symbols[symbol] = unknown
    opaque: dict[str, Tree] = {}
    equation = _sympy(relation.left, symbols, opaque) - _sympy(relation.right, symbols, opaque)
    if not all(_tame(power.exp) for power in equation.atoms(sympy.Pow) if power.has(unknown)):
        return  # sympy may search without end; such an unknown cannot be asked
    try:
        solutions = sympy.solve(equation, unknown, rational=True)
    except (NotImplementedError, ValueError, TypeError):
        return
    for solution in solutions:
        tree = _tree(solution)
        if tree is None:
            continue
        form = replaced(tree, opaque)
        if not mentions(form, symbol):  # as where the unknown stands under abs, which sympy does not see into
            yield form


def _confirmed(relation: Relation, symbol: str, tree: Tree) -> bool:
    """Put the solution into the relation and let sympy evaluate the difference to 30 digits."""
    import sympy

    others = [s for s in relation.symbols if s != symbol]
    for point in _points(len(others)):
        values = {s: sympy.Float(repr(x), 30) for s, x in zip(others, point, strict=True)}
        opaque: dict[str, Tree] = {}
        try:
            values[symbol] = sympy.N(_sympy(tree, dict(values), opaque), 30)
            if opaque or not values[symbol].is_real or values[symbol] <= 0:
                if opaque:
                    return True  # a limit such as min(L/D, 15) is not sympy's; the numeric check stands alone
                continue
            left = sympy.N(_sympy(relation.left, dict(values), opaque), 30)
            right = sympy.N(_sympy(relation.right, dict(values), opaque), 30)
        except (ZeroDivisionError, TypeError, ValueError):
            continue
        return bool(opaque) or bool(abs(left - right) <= 1e-12 * max(abs(left), abs(right)))
    return False


def _sympy(tree: Tree, symbols: dict[str, Any], opaque: dict[str, Tree]) -> Any:
    """Build the sympy expression of a tree; min, max, ceil and floor become opaque symbols."""
    import sympy

    if isinstance(tree, Number):
        return sympy.Rational(tree.text)
    if isinstance(tree, Name):
        fixed = {"pi": sympy.pi, "mu0": sympy.Rational(4, 10**7) * sympy.pi}.get(tree.symbol)
        return fixed if fixed is not None else symbols[tree.symbol]
    if isinstance(tree, Negative):
        return -_sympy(tree.of, symbols, opaque)
    if isinstance(tree, Binary):
        return _sympy_binary(tree, symbols, opaque)
    if isinstance(tree, Call):
        return _sympy_call(tree, symbols, opaque)
    raise ValueError("a choice cannot stand inside another expression")


def _tame(exponent: Any) -> bool:
    return bool(exponent.is_Integer) or bool(
        exponent.is_Rational and exponent.q == 2 and abs(exponent.p) == 1
    )


def _sympy_binary(tree: Binary, symbols: dict[str, Any], opaque: dict[str, Tree]) -> Any:
    left, right = _sympy(tree.left, symbols, opaque), _sympy(tree.right, symbols, opaque)
    if tree.operator == "+":
        return left + right
    if tree.operator == "-":
        return left - right
    if tree.operator == "*":
        return left * right
    return left / right if tree.operator == "/" else left**right


def _sympy_call(tree: Call, symbols: dict[str, Any], opaque: dict[str, Tree]) -> Any:
    import sympy

    name = tree.function
    if name in {"min", "max", "ceil", "floor", "abs"}:
        dummy = f"opaque{len(opaque)}"
        opaque[dummy] = tree
        symbols[dummy] = sympy.Symbol(dummy, positive=True)
        return symbols[dummy]
    value = _sympy(tree.arguments[0], symbols, opaque)
    degree = sympy.pi / 180
    table = {
        "sqrt": lambda: sympy.sqrt(value), "ln": lambda: sympy.log(value), "exp": lambda: sympy.exp(value),
        "log10": lambda: sympy.log(value) / sympy.log(10), "sin": lambda: sympy.sin(value * degree),
        "cos": lambda: sympy.cos(value * degree), "tan": lambda: sympy.tan(value * degree),
        "asin": lambda: sympy.asin(value) / degree, "acos": lambda: sympy.acos(value) / degree,
        "atan": lambda: sympy.atan(value) / degree,
    }  # fmt: skip
    return table[name]()


def _tree(expression: Any) -> Tree | None:
    """Turn a sympy expression into our tree, in the order a person would write; None if it cannot be."""
    import sympy

    if expression.is_Integer or (expression.is_Rational and expression.q == 1):
        return _number(int(expression))
    if expression.is_Rational:
        return Binary("/", _number(int(expression.p)), _number(int(expression.q)))
    if expression == sympy.pi:
        return Name("pi")
    if expression == sympy.E:
        return Call("exp", (Number("1"),))
    if expression.is_Symbol:
        return Name(expression.name)
    if expression.is_Add:
        return _sum(expression)
    if expression.is_Mul:
        return _product(expression)
    if expression.is_Pow:
        return _power(expression.base, expression.exp)
    return _call(expression)


def _number(value: int) -> Tree:
    return Negative(Number(str(-value))) if value < 0 else Number(str(value))


def _call(expression: Any) -> Tree | None:
    import sympy

    if expression.func not in {
        sympy.log,
        sympy.exp,
        sympy.sin,
        sympy.cos,
        sympy.tan,
        sympy.asin,
        sympy.acos,
        sympy.atan,
    }:
        return None
    inner = expression.args[0]
    name = {"log": "ln"}.get(expression.func.__name__, expression.func.__name__)
    argument = _tree(sympy.simplify(inner * 180 / sympy.pi) if name in {"sin", "cos", "tan"} else inner)
    if argument is None:
        return None
    call = Call(name, (argument,))
    radians = Binary("/", Name("pi"), Number("180"))
    return Binary("*", call, radians) if name in {"asin", "acos", "atan"} else call


def _sum(expression: Any) -> Tree | None:
    terms = sorted(expression.as_ordered_terms(), key=lambda term: term.could_extract_minus_sign())
    out: Tree | None = None
    for term in terms:
        minus = term.could_extract_minus_sign()
        tree = _tree(-term if minus else term)
        if tree is None:
            return None
        first = Negative(tree) if minus else tree
        out = first if out is None else Binary("-" if minus else "+", out, tree)
    return out


def _product(expression: Any) -> Tree | None:
    import sympy

    if expression.could_extract_minus_sign():
        tree = _tree(-expression)
        return Negative(tree) if tree is not None else None
    top, bottom = sympy.fraction(expression)
    if bottom != 1:
        over, under = _tree(top), _tree(bottom)
        return Binary("/", over, under) if over is not None and under is not None else None
    out: Tree | None = None
    for factor in expression.as_ordered_factors():
        tree = _tree(factor)
        if tree is None:
            return None
        out = tree if out is None else Binary("*", out, tree)
    return out


def _power(base: Any, exponent: Any) -> Tree | None:
    import sympy

    if exponent == sympy.Rational(1, 2):
        under = _tree(base)
        return Call("sqrt", (under,)) if under is not None else None
    if exponent.could_extract_minus_sign():
        under = _tree(base**-exponent)
        return Binary("/", Number("1"), under) if under is not None else None
    lower, upper = _tree(base), _tree(exponent)
    return Binary("^", lower, upper) if lower is not None and upper is not None else None


def _gives_back(relation: Relation, symbol: str, tree: Tree) -> bool:
    """Check that the relation holds with the solution put in, at points where it has a value."""
    others = [s for s in relation.symbols if s != symbol]
    solution = compiled_tree(others, tree)
    left = compiled_tree([symbol, *others], relation.left)
    right = compiled_tree([symbol, *others], relation.right)
    held = 0
    for turn, point in enumerate(_points(len(others))):
        try:
            value = solution(*point)
            one, two = left(value, *point), right(value, *point)
        except (ArithmeticError, ValueError):
            continue
        if value <= 0 or not math.isfinite(value):
            continue
        if math.isclose(one, two, rel_tol=1e-7):
            held += 1
        elif turn % 2 == 0:
            return False  # over six decades figures get lost in differences: only the narrow points refute
        if held == _CHECKS:
            return True
    return False


def _points(width: int) -> Iterator[tuple[float, ...]]:
    """Yield fixed, well spread positive points, by turns over two decades and over six."""
    for i in range(1, _TRIES + 1):
        decades = 2 if i % 2 else 6
        yield tuple(
            10 ** (((i * (0.6180339887 + j * 0.7548776662) + j * 0.37) % 1 - 0.5) * decades)
            for j in range(width)
        )
