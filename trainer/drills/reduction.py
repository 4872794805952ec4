"""Work a formula down in steps a person would take: the case that holds, the brackets first."""

from __future__ import annotations

from collections.abc import Mapping

from trainer.formulas.compiling import compiled_test, compiled_tree
from trainer.formulas.tree import Binary, Call, Choice, Condition, Name, Negative, Number, Tree, names

Values = Mapping[str, float]


def value_of(tree: Tree, values: Values) -> float:
    """Evaluate a tree with the values of its symbols."""
    symbols = tuple(dict.fromkeys(names(tree)))
    return compiled_tree(symbols, tree)(*(values[s] for s in symbols))


def chosen(tree: Tree, values: Values) -> tuple[Tree, Condition | None]:
    """Return the case of a choice that holds, and its condition; other trees come back as they are."""
    if not isinstance(tree, Choice):
        return tree, None
    for case, test in tree.cases:
        symbols = tuple(dict.fromkeys(names(test)))
        if compiled_test(symbols, test)(*(values[s] for s in symbols)):
            return case, test
    return tree, None


def brackets_done(tree: Tree, values: Values) -> tuple[Tree, dict[str, float]]:
    """Replace every sum, root or function inside the tree by its value.

    Returns the shorter tree, in which such values stand under names of their own, and those values.
    """
    done: dict[str, float] = {}
    return _done(tree, values, done, top=True), done


def _done(tree: Tree, values: Values, done: dict[str, float], top: bool) -> Tree:
    if isinstance(tree, Name | Number):
        return tree
    if not top and _inner(tree):
        name = f"part{len(done)}"
        done[name] = value_of(tree, values)
        return Name(name)
    if isinstance(tree, Negative):
        return Negative(_done(tree.of, values, done, False))
    if isinstance(tree, Binary):
        return Binary(
            tree.operator, _done(tree.left, values, done, False), _done(tree.right, values, done, False)
        )
    if isinstance(tree, Call):
        return Call(tree.function, tuple(_done(a, values, done, False) for a in tree.arguments))
    return tree


def _inner(tree: Tree) -> bool:
    """A part that is worked out before the rest: a sum, a power, a function, a fraction inside another."""
    return isinstance(tree, Call) or (isinstance(tree, Binary) and tree.operator in "+-^/")
