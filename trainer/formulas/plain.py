"""The plain form of a formula: without the rounding and the limits that hide an unknown."""

from __future__ import annotations

from trainer.formulas.tree import Binary, Call, Choice, Negative, Tree, mentions


def plain(tree: Tree, symbol: str) -> Tree:
    """Drop ceil and floor around ``symbol``, and take the side of min or max on which it stands.

    ``ceil(I0/dI)`` becomes ``I0/dI``; ``K/min(ratio, 15)`` becomes ``K/ratio``. Calls that do not
    hold the symbol stay as they are.
    """
    if not mentions(tree, symbol):
        return tree
    if isinstance(tree, Call):
        if tree.function in {"ceil", "floor"}:
            return plain(tree.arguments[0], symbol)
        if tree.function in {"min", "max"}:
            return plain(next(a for a in tree.arguments if mentions(a, symbol)), symbol)
        return Call(tree.function, tuple(plain(a, symbol) for a in tree.arguments))
    if isinstance(tree, Negative):
        return Negative(plain(tree.of, symbol))
    if isinstance(tree, Binary):
        return Binary(tree.operator, plain(tree.left, symbol), plain(tree.right, symbol))
    if isinstance(tree, Choice):
        return Choice(tuple((plain(value, symbol), test) for value, test in tree.cases))
    return tree
