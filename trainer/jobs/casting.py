"""A job made ready: each step's drill cast for exactly the numbers that the job and earlier steps give it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from trainer.bank import Bank, Entry, JobEntry
from trainer.bank.drill import Drill, Quantity, Situation
from trainer.bank.job import Job, JobPart
from trainer.bank.yamltext import Place
from trainer.drills.mould import Grid, Mould, NoWay, cast_for, grid_of
from trainer.drills.plan import reach
from trainer.drills.reading import ReadDrill, read_drill
from trainer.drills.shelf import Shelf
from trainer.errors import Fault, FaultyFiles
from trainer.formulas.compiling import compiled, compiled_test
from trainer.formulas.reading import FormulaFault, read_condition
from trainer.formulas.solved import SolvedForms
from trainer.formulas.tree import Condition, names
from trainer.formulas.units import unit

Test = Callable[..., bool]


@dataclass(frozen=True, slots=True)
class CastPart:
    """One step. ``given`` pairs the drill's symbols with the job's, ``earlier`` with places of steps before.

    ``holds`` tells from the mould's givens whether the drill's own conditions are met.
    """

    part: JobPart
    mould: Mould
    given: tuple[tuple[str, str], ...]
    earlier: tuple[tuple[str, int], ...]
    fixed: tuple[tuple[str, float], ...]
    holds: Test

    @property
    def quantity(self) -> Quantity:
        """The quantity that this step asks for."""
        return self.mould.read.drill.quantities[self.part.find]

    @property
    def needs(self) -> frozenset[int]:
        """The places of the steps whose answers this one is worked from; others are only drawn."""
        return frozenset(place for symbol, place in self.earlier if symbol in self.mould.given)


@dataclass(frozen=True, slots=True)
class CastJob:
    """A job with its steps cast. ``tests`` take the job's values and the answers, in that order."""

    entry: JobEntry
    parts: tuple[CastPart, ...]
    grids: tuple[Grid, ...]
    tests: tuple[Test, ...]
    editions: dict[str, Entry]

    @property
    def job(self) -> Job:
        """The job as it is written."""
        return self.entry.job

    @property
    def unconfirmed(self) -> bool:
        """Whether a step rests on a figure that nobody has read."""
        return any(entry.drill.unconfirmed for entry in self.editions.values())


class JobShelf:
    """The jobs of a shelf's bank, each cast when first asked for. Safe to share: casting twice gives the same."""

    def __init__(self, shelf: Shelf) -> None:
        self.bank = shelf.bank
        self._shelf = shelf
        self._cast: dict[tuple[str, ...], CastJob] = {}

    def job(self, job_id: str) -> CastJob:
        """Return a job of the bank; NotFound names the nearest ids."""
        return self.of(self.bank.job(job_id), self.bank.drills)

    def of(self, entry: JobEntry, drills: dict[str, Entry]) -> CastJob:
        """Return one edition of a job over the editions of its drills; FaultyFiles where it cannot be cast."""
        wanted = {part.drill: drills[part.drill] for part in entry.job.parts if part.drill in drills}
        key = (entry.edition, *(one.edition for one in wanted.values()))
        if key not in self._cast:
            cast, faults = cast_job(entry, wanted, self._shelf.forms)
            if cast is None:
                raise FaultyFiles(tuple(faults))
            self._cast[key] = cast
        return self._cast[key]


def cast_job(
    entry: JobEntry, drills: dict[str, Entry], forms: SolvedForms
) -> tuple[CastJob | None, list[Fault]]:
    """Cast every step; return the job, or None and every fault with its place in the file."""
    caster = _Caster(entry, drills, forms)
    parts = [caster.part(place, part) for place, part in enumerate(entry.job.parts)]
    grids, tests = caster.grids(), caster.tests()
    caster.wiring()
    if caster.faults:
        return None, [entry.located.fault(place, says) for place, says in caster.faults]
    whole = tuple(part for part in parts if part is not None)
    return CastJob(entry, whole, grids, tests, {p.part.drill: drills[p.part.drill] for p in whole}), []


def check_cautions(bank: Bank, entry: JobEntry) -> list[Fault]:
    """Return a fault for each caution that the bank does not have."""
    return [
        entry.located.fault(("cautions", i), f"there is no caution '{one}' in cautions.yaml")
        for i, one in enumerate(entry.job.cautions)
        if one not in bank.cautions
    ]


class _Caster:
    """Cast step after step, knowing which answers stand before each; gather faults."""

    def __init__(self, entry: JobEntry, drills: dict[str, Entry], forms: SolvedForms) -> None:
        self.job, self.drills, self.forms = entry.job, drills, forms
        self.faults: list[tuple[Place, str]] = []
        self.answers: dict[str, tuple[int, str]] = {}  # name: place of its step, unit ("" of a faulty step)

    def say(self, place: Place, says: str) -> None:
        self.faults.append((place, says))

    def part(self, place: int, part: JobPart) -> CastPart | None:
        """Cast one step, and let the steps after it take its answer."""
        read, drill = self.read(place, part)
        if read is None or drill is None:
            self.answers.setdefault(part.answer, (place, ""))
            return None
        before = len(self.faults)
        given = tuple(
            (s, name) for s, name in part.given.items() if self.fits(place, "given", s, name, drill)
        )
        earlier = tuple(
            (s, self.answers[name][0])
            for s, name in part.earlier.items()
            if self.fits(place, "earlier", s, name, drill)
        )
        self.answer(place, part, drill)
        return None if len(self.faults) > before else self.cast(place, part, read, given, earlier)

    def read(self, place: int, part: JobPart) -> tuple[ReadDrill | None, Drill | None]:
        """Read the drill of a step in the words of the job."""
        entry = self.drills.get(part.drill)
        if entry is None:
            self.say(("parts", place, "drill"), f"there is no drill '{part.drill}' in the bank")
            return None, None
        if part.find not in entry.drill.finds:
            finds = ", ".join(entry.drill.finds)
            self.say(
                ("parts", place, "find"), f"{part.drill} does not ask for '{part.find}'; it asks for {finds}"
            )
            return None, None
        read, faults = read_drill(entry.drill, entry.edition)
        if read is None:
            self.say(("parts", place, "drill"), f"{part.drill} has faults of its own: {faults[0][1]}")
            return None, None
        drill = _in_words_of(self.job, part, entry.drill)
        return replace(read, drill=drill), drill

    def fits(self, place: int, key: str, symbol: str, name: str, drill: Drill) -> bool:
        """Tell whether a number of the job can go in for a symbol of the drill; say why not."""
        where: Place = ("parts", place, key, symbol)
        source = self.unit_of(key, name)
        if symbol not in drill.quantities:
            self.say(where, f"{drill.id} has no quantity '{symbol}'; it has {', '.join(drill.quantities)}")
        elif symbol == self.job.parts[place].find:
            self.say(where, f"'{symbol}' is what this step asks for; it cannot be given")
        elif key == "earlier" and symbol in self.job.parts[place].given:
            self.say(where, f"'{symbol}' stands under given as well; keep one")
        elif source is None:
            known = "the answer of a step before" if key == "earlier" else "a value under given"
            self.say(where, f"'{name}' is not {known}")
        elif source and not _alike(source, drill.quantities[symbol].unit):
            self.say(
                where,
                f"'{name}' is in {source} and cannot go in for '{symbol}' in {drill.quantities[symbol].unit}",
            )
        else:
            return True
        return False

    def unit_of(self, key: str, name: str) -> str | None:
        if key == "earlier":
            return self.answers[name][1] if name in self.answers else None
        return self.job.given[name].unit if name in self.job.given else None

    def answer(self, place: int, part: JobPart, drill: Drill) -> None:
        if part.answer in self.answers or part.answer in self.job.given:
            self.say(
                ("parts", place, "answer"),
                f"'{part.answer}' stands for another value already; choose another",
            )
        self.answers[part.answer] = (place, drill.quantities[part.find].unit)

    def cast(
        self, place: int, part: JobPart, read: ReadDrill,
        given: tuple[tuple[str, str], ...], earlier: tuple[tuple[str, int], ...],
    ) -> CastPart | None:  # fmt: skip
        named = {*part.given, *part.earlier, part.find}
        fixed = tuple(
            (s, float(q.fixed))
            for s, q in read.drill.quantities.items()
            if q.fixed is not None and s not in named
        )
        known = [s for s, _ in (*given, *earlier, *fixed)]
        try:
            mould = cast_for(read, part.find, known, self.forms)
        except NoWay as error:
            self.say(("parts", place), str(error))
            return None
        return CastPart(part, mould, given, earlier, fixed, _conditions(mould, self.forms))

    def grids(self) -> tuple[Grid, ...]:
        """Return the values that the job draws from."""
        for symbol, quantity in self.job.given.items():
            if not quantity.drawn:
                self.say(
                    ("given", symbol), "write which values are drawn: from, to and step, or choices, or fixed"
                )
        return tuple(grid_of(s, q) for s, q in self.job.given.items() if q.drawn)

    def tests(self) -> tuple[Test, ...]:
        """Return the job's own conditions over its values and answers."""
        symbols = (*self.job.given, *self.answers)
        out = []
        for place, text in enumerate(self.job.where):
            try:
                out.append(compiled_test(symbols, read_condition(text, set(symbols))))
            except FormulaFault as fault:
                self.say(("where", place), str(fault))
        return tuple(out)

    def wiring(self) -> None:
        """Say what is given and never used, and whether the steps hang together at all."""
        used = {name for part in self.job.parts for name in part.given.values()}
        for symbol in self.job.given:
            if symbol not in used:
                self.say(("given", symbol), f"no step uses '{symbol}'; use it or remove it")
        if not any(part.earlier for part in self.job.parts):
            self.say(("parts",), "no step takes the answer of a step before; such drills are no job")


def _in_words_of(job: Job, part: JobPart, drill: Drill) -> Drill:
    """Return the drill with the piece and the sentences of the job in place of its own."""
    situations = tuple(Situation(part=one.part, text=part.text) for one in job.situations)
    finds = dict(drill.finds)
    if part.ask is not None:
        finds[part.find] = finds[part.find].model_copy(update={"ask": part.ask})
    return drill.model_copy(update={"situations": situations, "finds": finds})


def _alike(one: str, other: str) -> bool:
    """Tell whether a number in one unit can go in for the other; amperes are no ampere-turns."""
    if (one == "A-turn") != (other == "A-turn"):
        return False
    return unit(one).kind == unit(other).kind


def _conditions(mould: Mould, forms: SolvedForms) -> Test:
    """Return one test of the drill's own conditions, as far as the givens tell about them."""
    read = mould.read
    steps = reach(read.relations, mould.given, forms)
    symbols = (*mould.given, *(s.symbol for s in steps))
    forward = compiled(mould.given, [(s.symbol, s.tree) for s in steps], [s.symbol for s in steps])
    wanted: tuple[Condition, ...] = (*read.where, *read.find_where[mould.find])
    tests = [compiled_test(symbols, one) for one in wanted if set(names(one)) <= set(symbols)]

    def holds(*given: float) -> bool:
        row = (*given, *forward(*given))
        return all(test(*row) for test in tests)

    return holds
