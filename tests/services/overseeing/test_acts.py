"""Every act that the chain of notes may tell has a name that can be read in another language."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from pathlib import Path

import trainer
from trainer.practice.ladder import RUNGS
from trainer.services.overseeing.acts import ACTS, act_words
from trainer.services.qualifying import ledger, practices
from trainer.store.models import drafts


def _noted(tree: ast.Module, names: dict[str, str]) -> Iterator[str]:
    """The texts that stand as what was done in the calls of ``audit.note`` of one module."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and ast.unparse(node.func) == "audit.note":
            for part in ast.walk(node.args[2]):
                if isinstance(part, ast.Constant) and isinstance(part.value, str):
                    yield part.value
                elif isinstance(part, ast.Name) and part.id in names:
                    yield names[part.id]


def _names(tree: ast.Module) -> dict[str, str]:
    """The texts that a module keeps under names in capitals."""
    found = {}
    for node in tree.body:
        if isinstance(node, ast.Assign):
            names, texts = ast.unparse(node.targets[0]), node.value
            parts = texts.elts if isinstance(texts, ast.Tuple) else [texts]
            for name, text in zip(names.strip("()").split(", "), parts, strict=False):
                if isinstance(text, ast.Constant) and isinstance(text.value, str):
                    found[name] = text.value
    return found


def test_every_act_is_in_the_table() -> None:
    """What any module notes in the chain stands in the table; what is made of parts is looked at one by one."""
    found: set[str] = set()
    for path in Path(trainer.__file__).parent.rglob("*.py"):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        found |= set(_noted(tree, _names(tree)))
    pieces = {" shown", "-", " ", "draft "}  # of the two notes that are made of parts
    made = {f"draft {act}" for act in drafts.ACTS} | {f"{rung.replace('-', ' ')} shown" for rung in RUNGS}
    made |= {ledger.ENTERED, ledger.SIGNED, ledger.REVERSED}
    made |= {practices.DRAFTED, practices.APPROVED, practices.REFUSED}
    assert len(found) > 70
    assert (found - pieces) | made <= ACTS


def test_an_act_of_another_edition_stays_as_it_is() -> None:
    """What no table knows is shown as it was kept."""
    assert act_words("something of long ago") == "something of long ago"
    assert {"record revoked", "record suspended"} <= ACTS
