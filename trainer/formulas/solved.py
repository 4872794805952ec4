"""Solved forms, kept as text beside the relation they belong to, so that a warm start needs no sympy."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path

from trainer.formulas.reading import FormulaFault, read_tree
from trainer.formulas.tree import Relation, Tree, written

FILE = "solved.json"
LARGEST = 4_000_000
Solver = Callable[[Relation, str], str | None]


def by_sympy(relation: Relation, symbol: str) -> str | None:
    """Solve here and now, however long it takes."""
    from trainer.formulas.solving import solved_for

    tree = solved_for(relation, symbol)
    return None if tree is None else written(tree)


class SolvedForms:
    """A table relation text -> symbol -> right side (or None where there is no solution)."""

    def __init__(
        self, table: dict[str, dict[str, str | None]] | None = None, solver: Solver = by_sympy
    ) -> None:
        self._table = table or {}
        self._solver = solver
        self.added = 0

    @classmethod
    def load(cls, *paths: Path) -> SolvedForms:
        """Read the tables that exist; later ones add to earlier ones. A damaged table is left aside."""
        table: dict[str, dict[str, str | None]] = {}
        for path in paths:
            try:
                data = json.loads(path.read_text(encoding="utf-8")) if path.stat().st_size < LARGEST else {}
            except (OSError, ValueError):
                continue  # it is only a cache: what is missing is solved again
            table.update({r: f for r, f in data.items() if isinstance(f, dict)})
        return cls(table)

    def form(self, relation: Relation, symbol: str) -> Tree | None:
        """Return the right side of ``symbol = ...``, solving with sympy only what is not in the table."""
        text = written(relation)
        forms = self._table.setdefault(text, {})
        if symbol not in forms:
            forms[symbol] = self._solve(relation, symbol)
        form = forms[symbol]
        try:
            return None if form is None else read_tree(form, set(relation.symbols))
        except FormulaFault:
            forms[symbol] = self._solve(relation, symbol)
            return None if forms[symbol] is None else read_tree(str(forms[symbol]), set(relation.symbols))

    def apart(self, solver: Solver) -> SolvedForms:
        """Return a copy that solves in its own way; what it adds stays in the copy."""
        return SolvedForms({relation: dict(forms) for relation, forms in self._table.items()}, solver)

    def save(self, path: Path, only: set[str] | None = None) -> None:
        """Write the table (or the relations of ``only``), sorted, so that a change reads well in a diff."""
        table = {r: f for r, f in self._table.items() if only is None or r in only}
        path.write_text(
            json.dumps(table, indent=1, sort_keys=True, ensure_ascii=False) + "\n", encoding="utf-8"
        )

    def _solve(self, relation: Relation, symbol: str) -> str | None:
        self.added += 1
        return self._solver(relation, symbol)
