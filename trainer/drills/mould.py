"""A drill made ready to ask one find: the way to the answer, every slip's way, all compiled once."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field

from trainer.bank.drill import Values
from trainer.drills.plan import Step, plan, reach
from trainer.drills.reading import ReadChange, ReadDrill, wrapped_up
from trainer.errors import Refused
from trainer.formulas.compiling import compiled, compiled_test, compiled_tree
from trainer.formulas.solved import SolvedForms
from trainer.formulas.tree import Condition, Tree, names, replaced, rounds
from trainer.formulas.writing import grouped

Chain = Callable[..., tuple[float, ...]]


class NoWay(Refused):
    """The find cannot be reached from what is given."""


@dataclass(frozen=True, slots=True)
class Grid:
    """The values one symbol may take: as numbers, and as they are printed."""

    symbol: str
    values: tuple[float, ...]
    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Way:
    """A way to the answer, right or wrong: its steps, and one function from the givens to the targets."""

    steps: tuple[Step, ...]
    function: Chain
    when: Callable[..., bool] | None = None
    changed: frozenset[str] = frozenset()


def _nothing(*_values: float) -> tuple[float, ...]:
    """The way forward of a mould that is never drawn from, only worked with values of one's own."""
    return ()


@dataclass(slots=True)
class Mould:
    """Everything that drawing and marking one find of one drill needs."""

    read: ReadDrill
    find: str
    forms: SolvedForms = field(repr=False)
    grids: tuple[Grid, ...] = ()
    given: tuple[str, ...] = ()
    derived_given: tuple[str, ...] = ()
    symbols: tuple[str, ...] = ()
    forward: Chain = _nothing
    tests: tuple[Callable[..., bool], ...] = ()
    steps: tuple[Step, ...] = ()
    step_functions: tuple[Callable[..., float], ...] = ()
    whole_steps: tuple[bool, ...] = ()
    targets: tuple[str, ...] = ()
    slips: tuple[Way | None, ...] = ()
    alternatives: tuple[Way, ...] = ()
    pairs: dict[tuple[int, int], Way | None] = field(default_factory=dict)

    whole: bool = False  # the answer is a whole number
    band: bool = False  # any value between two limits is right
    slip_ways: tuple[tuple[int, Way], ...] = ()

    def pair(self, one: int, two: int) -> Way | None:
        """Return the way of two slips made together, or None where they do not go together."""
        key = (one, two)
        if key not in self.pairs:
            self.pairs[key] = _pair_way(self, one, two)
        return self.pairs[key]


def cast(read: ReadDrill, find: str, forms: SolvedForms) -> Mould:
    """Make the mould of one find; NoWay says what is missing where it cannot be reached."""
    drill = read.drill
    if find not in drill.finds:
        raise NoWay(f"{drill.id} does not ask for '{find}'; it asks for {', '.join(drill.finds)}")
    mould = Mould(read, find, forms)
    spec = drill.finds[find]
    mould.targets = spec.band or (find,)
    drawn = {s: drill.quantities[s] for s in read.drawn if s not in spec.leave} | spec.given
    if spec.given:
        drawn.pop(find, None)
    mould.grids = tuple(grid_of(symbol, values) for symbol, values in drawn.items())
    _plan_given(mould, set(drawn))
    _compile(mould, tuple(drawn))
    return mould


def cast_for(read: ReadDrill, find: str, given: Sequence[str], forms: SolvedForms) -> Mould:
    """Make a mould that finds ``find`` from exactly these symbols, or those of them that it needs."""
    mould = Mould(read, find, forms)
    spec = read.drill.finds.get(find)
    mould.targets = (spec.band if spec else None) or (find,)
    steps = plan(read.relations, set(given), mould.targets, forms)
    if not steps:
        raise NoWay(f"{read.drill.id}: no way leads from {', '.join(given) or 'nothing'} to {find}")
    _set_steps(mould, steps, set(given))
    _compile_ways(mould)
    return mould


def grid_of(symbol: str, values: Values) -> Grid:
    """Return the values a symbol may take, each with its printed form."""
    exact = values.grid()
    return Grid(
        symbol, tuple(float(v) for v in exact), tuple(grouped(format(v.normalize(), "f")) for v in exact)
    )


def _plan_given(mould: Mould, drawn: set[str]) -> None:
    """Choose what is shown: what was drawn, and for a find that was drawn itself, a result in its place."""
    read, find, forms = mould.read, mould.find, mould.forms
    known = drawn - {find}
    steps = plan(read.relations, known, mould.targets, forms)
    shown: str | None = None
    if steps is None:
        results = [s.symbol for s in reach(read.relations, drawn, forms)]
        for shown in reversed(results):
            steps = plan(read.relations, known | {shown}, mould.targets, forms)
            if steps is not None:
                break
    if steps is None:
        raise NoWay(f"{read.drill.id}: no way leads to {find}; give more under finds: {find}: given")
    _set_steps(mould, steps, known | ({shown} if shown else set()))
    mould.derived_given = tuple(s for s in mould.given if s not in drawn)


def _set_steps(mould: Mould, steps: Sequence[Step], known: set[str]) -> None:
    """Keep the steps, and of what is known what they need or what no relation uses (a coil's bore)."""
    mould.steps = tuple(_finished(mould, step) for step in steps)
    used = {name for step in steps for name in names(step.tree)}
    related = mould.read.related
    mould.given = tuple(
        s for s in mould.read.drill.quantities if s in known and (s in used or s not in related)
    )


def _finished(mould: Mould, step: Step) -> Step:
    up = step.symbol == mould.find and mould.read.drill.quantities[step.symbol].up
    return Step(step.symbol, wrapped_up(step.tree, up), step.relation)


def _compile(mould: Mould, drawn: tuple[str, ...]) -> None:
    read, find = mould.read, mould.find
    forward = reach(read.relations, drawn, mould.forms)
    mould.symbols = (*drawn, *(s.symbol for s in forward))
    mould.forward = compiled(drawn, [(s.symbol, s.tree) for s in forward], [s.symbol for s in forward])
    tests = (*read.where, *read.find_where[find])
    mould.tests = tuple(
        compiled_test(mould.symbols, test)
        for test in tests
        if all(name in mould.symbols for name in names(test))
    )
    _compile_ways(mould)


def _compile_ways(mould: Mould) -> None:
    """Compile the right way step by step, and every slip's and alternative's way as one function."""
    read = mould.read
    known: list[str] = list(mould.given)
    functions = []
    for step in mould.steps:
        functions.append(compiled_tree(known, step.tree))
        known.append(step.symbol)
    mould.step_functions = tuple(functions)
    mould.whole_steps = tuple(rounds(step.tree) for step in mould.steps)
    mould.whole, mould.band = mould.whole_steps[-1], len(mould.targets) == 2
    mould.slips = tuple(
        _way(mould, changed, slip.finds) for slip, changed in zip(read.drill.slips, read.slips, strict=True)
    )
    mould.slip_ways = tuple((i, way) for i, way in enumerate(mould.slips) if way is not None)
    mould.alternatives = tuple(
        way
        for other, changed in zip(read.drill.alternatives, read.alternatives, strict=True)
        if (way := _way(mould, changed, other.finds)) is not None
    )


def _way(mould: Mould, changed: ReadChange, finds: Sequence[str] | None) -> Way | None:
    """Build the way of a slip or an alternative, or None where it does not apply to this find."""
    if finds is not None and mould.find not in finds:
        return None
    steps = _changed_steps(mould, changed)
    if steps is None:
        return None
    function = compiled(mould.given, [(s.symbol, s.tree) for s in steps], mould.targets)
    return Way(steps, function, _when(mould, changed.when), frozenset((*changed.put, *changed.change)))


def _changed_steps(mould: Mould, changed: ReadChange) -> tuple[Step, ...] | None:
    if changed.gives:
        if mould.find not in changed.gives:
            return None
        known = {*mould.given, *(s.symbol for s in mould.steps[:-1])}
        if not known.issuperset(names(changed.gives[mould.find])):
            return None
        last = mould.steps[-1]
        return (*mould.steps[:-1], Step(last.symbol, changed.gives[mould.find], last.relation))
    relations = mould.read.change_relations(changed)
    steps = plan(relations, mould.given, mould.targets, mould.forms)
    if steps is None:
        return None
    finished = tuple(
        Step(s.symbol, replaced(_finished(mould, s).tree, changed.put), s.relation) for s in steps
    )
    known = {*mould.given, *(s.symbol for s in finished)}
    touched = any(old.tree != new.tree for old, new in zip(mould.steps, finished, strict=False)) or len(
        finished
    ) != len(mould.steps)
    readable = all(known.issuperset(names(s.tree)) for s in finished)
    return finished if touched and readable else None


def _when(mould: Mould, test: Condition | None) -> Callable[..., bool] | None:
    """Compile a slip's condition over the givens and the right working."""
    if test is None:
        return None
    steps = list(mould.steps)
    inside = {s.symbol: s.tree for s in steps}
    operands: list[Tree] = list(test.operands)
    for _ in steps:
        operands = [replaced(o, inside) for o in operands]
    known = set(mould.given)
    if any(name not in known for o in operands for name in names(o)):
        return None
    return compiled_test(mould.given, Condition(tuple(operands), test.operators))


def _pair_way(mould: Mould, one: int, two: int) -> Way | None:
    first, second = mould.read.slips[one], mould.read.slips[two]
    touched_one, touched_two = {*first.put, *first.change}, {*second.put, *second.change}
    if first.gives or second.gives or touched_one & touched_two:
        return None
    if mould.slips[one] is None or mould.slips[two] is None:
        return None
    both = ReadChange(first.put | second.put, first.change | second.change, {}, None)
    return _way(mould, both, None)
