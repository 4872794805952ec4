"""A drill with its formulas read: relations and conditions as trees. Faults point at the key they stand under."""

from __future__ import annotations

from dataclasses import dataclass

from trainer.bank.drill import Change, Drill
from trainer.bank.yamltext import Place
from trainer.formulas.reading import FormulaFault, read_condition, read_relation, read_tree
from trainer.formulas.tree import Call, Condition, Name, Relation, Tree, names


@dataclass(frozen=True, slots=True)
class ReadChange:
    """A slip or an alternative with its formulas read."""

    put: dict[str, Tree]
    change: dict[str, Tree]
    gives: dict[str, Tree]
    when: Condition | None


@dataclass(frozen=True, slots=True)
class ReadDrill:
    """A drill, its relations in solving order, its conditions, slips and alternatives as trees."""

    drill: Drill
    edition: str
    relations: tuple[Relation, ...]
    where: tuple[Condition, ...]
    find_where: dict[str, tuple[Condition, ...]]
    slips: tuple[ReadChange, ...]
    alternatives: tuple[ReadChange, ...]
    valid: tuple[Condition, ...] = ()
    related: frozenset[str] = frozenset()
    """Symbols that stand in a relation."""

    @property
    def drawn(self) -> tuple[str, ...]:
        """Symbols that have values to draw from, in the order written."""
        return tuple(s for s, q in self.drill.quantities.items() if q.drawn)

    def touched(self, slip: int) -> set[str]:
        """Return the quantities a slip is about: what went in otherwise, or what its formula lacks or adds.

        Where a slip only rearranges a formula (upside down), all of that formula's quantities.
        """
        changed, found = self.slips[slip], set(self.slips[slip].put)
        for symbol, tree in {**changed.change, **changed.gives}.items():
            right = {n for r in self.relations if r.left == Name(symbol) for n in names(r.right)}
            wrong = set(names(tree))
            found |= (right ^ wrong) or wrong
        return found

    def change_relations(self, changed: ReadChange) -> tuple[Relation, ...]:
        """Return the relations with those replaced that a slip gets wrong."""
        return tuple(
            Relation(r.left, changed.change[r.left.symbol])
            if isinstance(r.left, Name) and r.left.symbol in changed.change
            else r
            for r in self.relations
        )


def read_drill(drill: Drill, edition: str) -> tuple[ReadDrill | None, list[tuple[Place, str]]]:
    """Read every formula of a drill; return it with the faults found, each with its place in the file."""
    reader = _FormulaReader(drill)
    relations = tuple(
        r for i, text in enumerate(drill.relations) if (r := reader.relation(("relations", i), text))
    )
    where = tuple(c for i, t in enumerate(drill.where) if (c := reader.condition(("where", i), t)))
    find_where = {
        symbol: tuple(
            c for i, t in enumerate(find.where) if (c := reader.condition(("finds", symbol, "where", i), t))
        )
        for symbol, find in drill.finds.items()
    }
    slips = tuple(reader.change(("slips", i), s) for i, s in enumerate(drill.slips))
    others = tuple(reader.change(("alternatives", i), a) for i, a in enumerate(drill.alternatives))
    valid = tuple(
        c for i, one in enumerate(drill.valid) if (c := reader.condition(("valid", i, "holds"), one.holds))
    )
    related = frozenset(symbol for relation in relations for symbol in relation.symbols)
    faults = reader.faults
    read = ReadDrill(drill, edition, relations, where, find_where, slips, others, valid, related)
    return None if faults else read, faults


def wrapped_up(tree: Tree, up: bool) -> Tree:
    """Round a tree up to a whole number where the quantity is counted and the tree does not do so."""
    return Call("ceil", (tree,)) if up and not (isinstance(tree, Call) and tree.function == "ceil") else tree


class _FormulaReader:
    def __init__(self, drill: Drill) -> None:
        self.symbols = set(drill.quantities)
        self.faults: list[tuple[Place, str]] = []

    def relation(self, place: Place, text: str) -> Relation | None:
        try:
            return read_relation(text, self.symbols)
        except FormulaFault as fault:
            self.faults.append((place, str(fault)))
            return None

    def condition(self, place: Place, text: str) -> Condition | None:
        try:
            return read_condition(text, self.symbols)
        except FormulaFault as fault:
            self.faults.append((place, str(fault)))
            return None

    def trees(self, place: Place, texts: dict[str, str]) -> dict[str, Tree]:
        out = {}
        for symbol, text in texts.items():
            if symbol not in self.symbols:
                self.faults.append(((*place, symbol), f"'{symbol}' is not a quantity of this drill"))
            try:
                out[symbol] = read_tree(text, self.symbols)
            except FormulaFault as fault:
                self.faults.append(((*place, symbol), str(fault)))
        return out

    def change(self, place: Place, change: Change) -> ReadChange:
        return ReadChange(
            self.trees((*place, "put"), change.put),
            self.trees((*place, "change"), change.change),
            self.trees((*place, "gives"), change.gives),
            self.condition((*place, "when"), change.when) if change.when else None,
        )
