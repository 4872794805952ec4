"""Read the house's own code: which module imports what, and what it calls."""

from __future__ import annotations

import ast
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache
from pathlib import Path

import trainer

ROOT = Path(trainer.__file__).resolve().parent


def modules() -> list[Path]:
    """Every module of the package, the carried templates and bank left out."""
    return sorted(file for file in ROOT.rglob("*.py") if "_house" not in file.parts)


def dotted(file: Path) -> str:
    """The dotted name of a module, for instance trainer.store.database."""
    parts = ["trainer", *file.relative_to(ROOT).with_suffix("").parts]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


@dataclass(frozen=True)
class Read:
    """What a module says; ``calls`` has line and name of each: for a.b.c() the name is c."""

    imports: tuple[str, ...]
    calls: tuple[tuple[int, str], ...]


@cache
def read(file: Path) -> Read:
    """A module, read once for every rule."""
    tree = ast.parse(file.read_text(encoding="utf-8"))
    return Read(tuple(_imports(tree, dotted(file))), tuple(_calls(tree)))


def _imports(tree: ast.Module, own: str) -> Iterator[str]:
    """Every name a module imports at run time: also inside functions, not those for type checkers only."""
    for node in _running(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{own} imports by a relative name"
            yield node.module or ""
            if (node.module or "").split(".")[0] == "trainer":
                yield from (f"{node.module}.{alias.name}" for alias in node.names)


def _calls(tree: ast.Module) -> Iterator[tuple[int, str]]:
    for node in ast.walk(tree):
        if isinstance(node, ast.Call):
            name = getattr(node.func, "id", None) or getattr(node.func, "attr", None)
            if name:
                yield node.lineno, name


def _running(node: ast.AST) -> Iterator[ast.AST]:
    for child in ast.iter_child_nodes(node):
        if isinstance(child, ast.If) and "TYPE_CHECKING" in ast.dump(child.test):
            continue
        yield child
        yield from _running(child)
