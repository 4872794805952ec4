"""Random formula trees, and a second way to work them out that shares nothing with the compiler."""

from __future__ import annotations

import math
from collections.abc import Mapping

from hypothesis import strategies as st

from trainer.formulas.tree import Binary, Call, Choice, Condition, Name, Negative, Number, Tree

SYMBOLS = ("L", "D", "x1")

_leaves = st.one_of(
    st.sampled_from([Name(s) for s in (*SYMBOLS, "pi", "mu0")]),
    st.sampled_from([Number(t) for t in ("0", "2", "3", "0.0297", "45000", "4e-7", ".5")]),
)


def _grown(inner: st.SearchStrategy[Tree]) -> st.SearchStrategy[Tree]:
    one = ["sqrt", "ln", "log10", "exp", "sin", "cos", "tan", "asin", "acos", "atan", "ceil", "floor", "abs"]
    return st.one_of(
        st.builds(Negative, inner),
        st.builds(Binary, st.sampled_from("+-*/^"), inner, inner),
        st.builds(lambda f, a: Call(f, (a,)), st.sampled_from(one), inner),
        st.builds(lambda f, a, b: Call(f, (a, b)), st.sampled_from(["min", "max"]), inner, inner),
    )


TREES: st.SearchStrategy[Tree] = st.recursive(_leaves, _grown, max_leaves=9)
TESTS = st.builds(
    lambda a, o, b: Condition((a, b), (o,)),
    TREES,
    st.sampled_from(["<", "<=", ">", ">=", "==", "!="]),
    TREES,
)
CHOICES = st.builds(lambda *cases: Choice(cases), st.tuples(TREES, TESTS), st.tuples(TREES, TESTS))


def walked(tree: Tree, values: Mapping[str, float]) -> float:
    """Work a tree out by walking it; ArithmeticError or ValueError where it has no value."""
    if isinstance(tree, Number):
        return float(tree.text)
    if isinstance(tree, Name):
        return {"pi": math.pi, "mu0": 4e-7 * math.pi, **values}[tree.symbol]
    if isinstance(tree, Negative):
        return -walked(tree.of, values)
    if isinstance(tree, Binary):
        return _two(tree.operator, walked(tree.left, values), walked(tree.right, values))
    assert isinstance(tree, Call)
    return _function(tree.function, [walked(a, values) for a in tree.arguments])


def _two(operator: str, x: float, y: float) -> float:
    if operator == "^":
        out = x**y
        if isinstance(out, complex):
            raise ValueError("no real value")
        return float(out)
    return {"+": lambda: x + y, "-": lambda: x - y, "*": lambda: x * y, "/": lambda: x / y}[operator]()


def _function(name: str, a: list[float]) -> float:
    if name in {"min", "max"}:
        return min(a) if name == "min" else max(a)
    if name in {"sin", "cos", "tan"}:
        return float(getattr(math, name)(math.radians(a[0])))
    if name in {"asin", "acos", "atan"}:
        return math.degrees(getattr(math, name)(a[0]))
    if name in {"ceil", "floor"}:
        hair = -1e-9 if name == "ceil" else 1e-9  # a rounding remainder does not count
        return float(getattr(math, name)(a[0] + hair))
    if name == "abs":
        return a[0] if a[0] > 0 else 0 - a[0]
    return float({"sqrt": math.sqrt, "ln": math.log, "log10": math.log10, "exp": math.exp}[name](a[0]))
