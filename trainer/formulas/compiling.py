"""Turn trees into plain Python functions.

The functions are built as syntax trees from our own checked nodes and compiled once; no text is
evaluated and nothing but arithmetic and the functions named here can be reached. Compiled code runs
about four times as fast as walking the tree, which is what lets every exercise be drawn and checked
against all of its slips while the trainee waits for nothing.
"""

from __future__ import annotations

import ast
import math
import types
from collections.abc import Callable, Sequence
from typing import Any

from trainer.formulas.tree import Binary, Call, Choice, Condition, Name, Negative, Number, Tree

Function = Callable[..., float]
MU0 = 4e-7 * math.pi  # T*m/A, the value the documents use (CODATA 2018 differs in the tenth figure)
_WHOLE = 1e-9  # a part below this is a rounding remainder, so that a whole number stays whole


class NoCase(ValueError):
    """No condition of a choice holds for these values."""


def _ceil(x: float) -> float:
    return float(math.ceil(x - _WHOLE))


def _floor(x: float) -> float:
    return float(math.floor(x + _WHOLE))


def _power(x: float, y: float) -> float:
    out: float | complex = x**y
    if isinstance(out, complex):
        raise ValueError("a root of a negative number")
    return out


def _no_case() -> float:
    raise NoCase("no case of the relation holds for these values")


_SPACE: dict[str, Any] = {
    "sqrt": math.sqrt, "ln": math.log, "log10": math.log10, "exp": math.exp,
    "sin": lambda x: math.sin(math.radians(x)), "cos": lambda x: math.cos(math.radians(x)),
    "tan": lambda x: math.tan(math.radians(x)), "asin": lambda x: math.degrees(math.asin(x)),
    "acos": lambda x: math.degrees(math.acos(x)), "atan": lambda x: math.degrees(math.atan(x)),
    "ceil": _ceil, "floor": _floor, "abs": abs, "min": min, "max": max,
    "power": _power, "no_case": _no_case, "__builtins__": {},
}  # fmt: skip
_OPERATORS: dict[str, ast.operator] = {"+": ast.Add(), "-": ast.Sub(), "*": ast.Mult(), "/": ast.Div()}
_COMPARISONS: dict[str, ast.cmpop] = {
    "<": ast.Lt(), "<=": ast.LtE(), ">": ast.Gt(), ">=": ast.GtE(), "==": ast.Eq(), "!=": ast.NotEq(),
}  # fmt: skip


def compiled(
    arguments: Sequence[str], steps: Sequence[tuple[str, Tree]], returns: Sequence[str]
) -> Callable[..., tuple[float, ...]]:
    """Compile steps ``symbol = tree`` in order into one function of the arguments.

    Returns the values of ``returns`` as a tuple. The function raises ArithmeticError or ValueError
    where the mathematics has no value.
    """
    body: list[ast.stmt] = [
        ast.Assign(targets=[ast.Name("q_" + symbol, ast.Store())], value=_node(tree))
        for symbol, tree in steps
    ]
    values: list[ast.expr] = [ast.Name("q_" + symbol, ast.Load()) for symbol in returns]
    body.append(ast.Return(ast.Tuple(values, ast.Load())))
    return _function(arguments, body)


def compiled_tree(arguments: Sequence[str], tree: Tree) -> Function:
    """Compile one expression into a function of the arguments."""
    return _function(arguments, [ast.Return(_node(tree))])


def compiled_test(arguments: Sequence[str], test: Condition) -> Callable[..., bool]:
    """Compile one condition into a function of the arguments."""
    return _function(arguments, [ast.Return(_test(test))])


def _function(arguments: Sequence[str], body: list[ast.stmt]) -> Callable[..., Any]:
    takes = ast.arguments(
        posonlyargs=[],
        args=[ast.arg("q_" + a) for a in arguments],
        kwonlyargs=[],
        kw_defaults=[],
        defaults=[],
    )
    made = ast.FunctionDef(name="formula", args=takes, body=body, decorator_list=[])
    if hasattr(made, "type_params"):  # Python 3.12 and later
        made.type_params = []
    module = ast.fix_missing_locations(ast.Module(body=[made], type_ignores=[]))
    code = compile(module, "<formula>", "exec")
    inner = next(c for c in code.co_consts if isinstance(c, types.CodeType))
    return types.FunctionType(inner, _SPACE)


def _node(tree: Tree) -> ast.expr:
    if isinstance(tree, Number):
        return ast.Constant(float(tree.text))
    if isinstance(tree, Name):
        constant = {"pi": math.pi, "mu0": MU0}.get(tree.symbol)
        return ast.Constant(constant) if constant is not None else ast.Name("q_" + tree.symbol, ast.Load())
    if isinstance(tree, Negative):
        return ast.UnaryOp(ast.USub(), _node(tree.of))
    if isinstance(tree, Binary):
        return _binary(tree)
    if isinstance(tree, Call):
        return _call(tree.function, [_node(a) for a in tree.arguments])
    return _choice(tree)


def _binary(tree: Binary) -> ast.expr:
    left, right = _node(tree.left), _node(tree.right)
    if tree.operator != "^":
        return ast.BinOp(left, _OPERATORS[tree.operator], right)
    if tree.right in (Number("2"), Number("3")):  # never complex, so no call
        return ast.BinOp(left, ast.Pow(), right)
    return _call("power", [left, right])


def _call(function: str, arguments: list[ast.expr]) -> ast.expr:
    return ast.Call(ast.Name(function, ast.Load()), arguments, [])


def _choice(tree: Choice) -> ast.expr:
    out: ast.expr = _call("no_case", [])
    for value, test in reversed(tree.cases):
        out = ast.IfExp(_test(test), _node(value), out)
    return out


def _test(test: Condition) -> ast.expr:
    operators = [_COMPARISONS[o] for o in test.operators]
    return ast.Compare(_node(test.operands[0]), operators, [_node(o) for o in test.operands[1:]])
