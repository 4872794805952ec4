"""The shape of a formula after reading: small frozen nodes that nothing evaluates as text."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from typing import Union


@dataclass(frozen=True, slots=True)
class Number:
    """A number as written; ``text`` keeps the writing (0.0297, 45000, 4e-7)."""

    text: str


@dataclass(frozen=True, slots=True)
class Name:
    """A quantity's symbol, or one of the constants pi and mu0."""

    symbol: str


@dataclass(frozen=True, slots=True)
class Negative:
    of: Tree


@dataclass(frozen=True, slots=True)
class Binary:
    """Two operands and one of + - * / ^ (``^`` stands for ``**``)."""

    operator: str
    left: Tree
    right: Tree


@dataclass(frozen=True, slots=True)
class Call:
    """A function of the table in reading.FUNCTIONS."""

    function: str
    arguments: tuple[Tree, ...]


@dataclass(frozen=True, slots=True)
class Condition:
    """A chain of comparisons that must all hold: 2 <= ratio < 4."""

    operands: tuple[Tree, ...]
    operators: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Choice:
    """``A if COND, B if COND``: the first whose condition holds."""

    cases: tuple[tuple[Tree, Condition], ...]


Tree = Union[Number, Name, Negative, Binary, Call, Choice]  # noqa: UP007  (recursive alias needs Union)

CONSTANTS = frozenset({"pi", "mu0"})


@dataclass(frozen=True, slots=True)
class Relation:
    """``left = right``; in the bank left is nearly always one symbol."""

    left: Tree
    right: Tree

    @property
    def symbols(self) -> tuple[str, ...]:
        """Quantity symbols in reading order, each once."""
        return tuple(dict.fromkeys((*names(self.left), *names(self.right))))


def parts(tree: Tree | Condition) -> tuple[Tree, ...]:
    """Return the direct children of a node, conditions included."""
    if isinstance(tree, Negative):
        return (tree.of,)
    if isinstance(tree, Binary):
        return (tree.left, tree.right)
    if isinstance(tree, Call):
        return tree.arguments
    if isinstance(tree, Condition):
        return tree.operands
    if isinstance(tree, Choice):
        return tuple(t for value, test in tree.cases for t in (value, *test.operands))
    return ()


def names(tree: Tree | Condition) -> Iterator[str]:
    """Yield quantity symbols in reading order, repeats included, constants left out."""
    if isinstance(tree, Name):
        if tree.symbol not in CONSTANTS:
            yield tree.symbol
    else:
        for part in parts(tree):
            yield from names(part)


def mentions(tree: Tree | Condition, symbol: str) -> bool:
    """Tell whether a symbol stands anywhere in the tree."""
    return any(name == symbol for name in names(tree))


def rounds(tree: Tree) -> bool:
    """Tell whether a ceil or floor stands in the tree."""
    if isinstance(tree, Call) and tree.function in {"ceil", "floor"}:
        return True
    return any(rounds(part) for part in parts(tree))


def replaced(tree: Tree, by: Mapping[str, Tree]) -> Tree:
    """Return the tree with symbols replaced by other trees."""
    if isinstance(tree, Name):
        return by.get(tree.symbol, tree)
    if isinstance(tree, Negative):
        return Negative(replaced(tree.of, by))
    if isinstance(tree, Binary):
        return Binary(tree.operator, replaced(tree.left, by), replaced(tree.right, by))
    if isinstance(tree, Call):
        return Call(tree.function, tuple(replaced(a, by) for a in tree.arguments))
    if isinstance(tree, Choice):
        return Choice(tuple((replaced(v, by), replaced_test(c, by)) for v, c in tree.cases))
    return tree


def replaced_test(test: Condition, by: Mapping[str, Tree]) -> Condition:
    """Return the condition with symbols replaced by other trees."""
    return Condition(tuple(replaced(o, by) for o in test.operands), test.operators)


_BINDS = {"+": 1, "-": 1, "*": 2, "/": 2, "^": 4}


def written(tree: Tree | Condition | Relation, outer: int = 0) -> str:
    """Write a tree back as text that reads to the same tree."""
    if isinstance(tree, Relation):
        return f"{written(tree.left)} = {written(tree.right)}"
    if isinstance(tree, Number):
        return tree.text
    if isinstance(tree, Name):
        return tree.symbol
    if isinstance(tree, Negative):
        return _bracketed(f"-{written(tree.of, 3)}", 1, outer)
    if isinstance(tree, Call):
        return f"{tree.function}({', '.join(written(a) for a in tree.arguments)})"
    if isinstance(tree, Choice):
        return ", ".join(f"{written(v)} if {written(c)}" for v, c in tree.cases)
    if isinstance(tree, Condition):
        rest = (f" {o} {written(t)}" for o, t in zip(tree.operators, tree.operands[1:], strict=True))
        return written(tree.operands[0]) + "".join(rest)
    return _written_binary(tree, outer)


def _written_binary(tree: Binary, outer: int) -> str:
    binds = _BINDS[tree.operator]
    left_side, right_side = (5, 4) if tree.operator == "^" else (binds, binds + 1)
    sign = {"^": "**", "+": " + ", "-": " - "}.get(tree.operator, tree.operator)
    return _bracketed(f"{written(tree.left, left_side)}{sign}{written(tree.right, right_side)}", binds, outer)


def _bracketed(text: str, binds: int, outer: int) -> str:
    return f"({text})" if binds < outer else text
