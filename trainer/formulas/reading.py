"""Read formula text into a tree: tokens looked up in tables, bounded in length and depth, never evaluated."""

from __future__ import annotations

import re
from collections.abc import Set

from trainer.errors import Refused
from trainer.formulas.tree import (
    CONSTANTS,
    Binary,
    Call,
    Choice,
    Condition,
    Name,
    Negative,
    Number,
    Relation,
    Tree,
)

LONGEST = 400
DEEPEST = 40
# name: (fewest, most) arguments. Angles are in degrees both ways.
FUNCTIONS: dict[str, tuple[int, int]] = {
    **dict.fromkeys(
        ("sqrt", "ln", "log10", "exp", "sin", "cos", "tan", "asin", "acos", "atan", "ceil", "floor", "abs"), (1, 1)
    ),
    **dict.fromkeys(("min", "max"), (2, 4)),
}  # fmt: skip
_TOKEN = re.compile(
    r"\s*(?:(?P<number>(?:[0-9]+(?:\.[0-9]+)?|\.[0-9]+)(?:[eE][-+]?[0-9]{1,3})?)"
    r"|(?P<name>[A-Za-z][A-Za-z0-9_]{0,20})|(?P<sign>\*\*|<=|>=|==|!=|[-+*/^(),<>=]))"
)


class FormulaFault(Refused):
    """A formula that cannot be read; the sentence names the place and what is taken there."""


def read_relation(text: str, symbols: Set[str]) -> Relation:
    """Read ``left = right``; every name must be one of ``symbols`` or a constant."""
    parser = _Parser(text, symbols)
    left = parser.sum()
    parser.expect("=", "a relation is written 'NI = K/ratio'")
    right = parser.choice()
    parser.end()
    return Relation(left, right)


def read_tree(text: str, symbols: Set[str]) -> Tree:
    """Read one expression, or a choice of expressions."""
    parser = _Parser(text, symbols)
    tree = parser.choice()
    parser.end()
    return tree


def read_condition(text: str, symbols: Set[str]) -> Condition:
    """Read a chain of comparisons such as ``2 <= ratio < 4``."""
    parser = _Parser(text, symbols)
    test = parser.condition()
    parser.end()
    return test


def _tokens(text: str) -> list[str]:
    if len(text) > LONGEST:
        raise FormulaFault(f"the formula is longer than {LONGEST} characters; split it into relations")
    out: list[str] = []
    at = 0
    while text[at:].strip():
        found = _TOKEN.match(text, at)
        if not found:
            odd = text[at:].strip()[0]
            raise FormulaFault(
                f"'{odd}' cannot stand in a formula; use names, numbers, + - * / ** and brackets"
            )
        out.append(found.group().strip())
        at = found.end()
    return out


class _Parser:
    """Recursive descent over the tokens; depth is counted so that nesting cannot exhaust the stack."""

    def __init__(self, text: str, symbols: Set[str]) -> None:
        self.tokens = _tokens(text)
        self.symbols = symbols
        self.at = 0
        self.depth = 0

    def peek(self) -> str:
        return self.tokens[self.at] if self.at < len(self.tokens) else ""

    def take(self) -> str:
        token = self.peek()
        self.at += 1
        return token

    def expect(self, sign: str, hint: str) -> None:
        if self.take() != sign:
            raise FormulaFault(f"'{sign}' is missing: {hint}")

    def end(self) -> None:
        if self.peek():
            raise FormulaFault(
                f"'{self.peek()}' is left over at the end of the formula; an operator is missing"
            )

    def choice(self) -> Tree:
        first = self.sum()
        if self.peek() != "if":
            return first
        cases = []
        value = first
        while True:
            self.expect("if", "a choice is written 'A if COND, B if COND'")
            cases.append((value, self.condition()))
            if self.peek() != ",":
                return Choice(tuple(cases))
            self.take()
            value = self.sum()

    def condition(self) -> Condition:
        operands = [self.sum()]
        operators = []
        while self.peek() in {"<", "<=", ">", ">=", "==", "!="}:
            operators.append(self.take())
            operands.append(self.sum())
        if not operators:
            raise FormulaFault("a condition needs a comparison such as 'ratio >= 4'")
        return Condition(tuple(operands), tuple(operators))

    def sum(self) -> Tree:
        tree = self.product()
        while self.peek() in {"+", "-"}:
            tree = Binary(self.take(), tree, self.product())
        return tree

    def product(self) -> Tree:
        tree = self.signed()
        while self.peek() in {"*", "/"}:
            tree = Binary(self.take(), tree, self.signed())
        return tree

    def signed(self) -> Tree:
        self.depth += 1
        if self.depth > DEEPEST:
            raise FormulaFault(f"the formula is nested deeper than {DEEPEST}; split it into relations")
        if self.peek() == "-":
            self.take()
            tree: Tree = Negative(self.signed())
        else:
            tree = self.power()
        self.depth -= 1
        return tree

    def power(self) -> Tree:
        tree = self.atom()
        if self.peek() in {"**", "^"}:
            self.take()
            return Binary("^", tree, self.signed())
        return tree

    def atom(self) -> Tree:
        token = self.take()
        if token == "(":
            tree = self.sum()
            self.expect(")", "every bracket that opens must close")
            return tree
        if token[:1].isdigit() or token[:1] == ".":
            return Number(token)
        if token in FUNCTIONS and self.peek() == "(":
            return self.call(token)
        if token in self.symbols or token in CONSTANTS:
            return Name(token)
        if not token:
            raise FormulaFault("the formula ends too early; a value is missing")
        if self.peek() == "(":
            raise FormulaFault(f"there is no function '{token}'; there are {', '.join(sorted(FUNCTIONS))}")
        known = ", ".join(sorted(self.symbols))
        raise FormulaFault(f"'{token}' is not a quantity of this item; it knows {known}")

    def call(self, function: str) -> Call:
        self.take()
        arguments = [self.sum()]
        while self.peek() == ",":
            self.take()
            arguments.append(self.sum())
        self.expect(")", f"{function}(...) must close")
        fewest, most = FUNCTIONS[function]
        if not fewest <= len(arguments) <= most:
            raise FormulaFault(f"{function} takes {fewest} to {most} values, not {len(arguments)}")
        return Call(function, tuple(arguments))
