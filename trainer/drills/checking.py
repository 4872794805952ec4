"""Check drills beyond their spelling: every find can be reached, drawn, marked, and drawn to scale.

The laws of a fair question are asked anew here, not taken from the draw: the accepted interval holds
the exact value and every documented path, and no slip. What is printed is read back: figures fit their sheet,
words their place, and every number in figure and working is the exercise's.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from trainer.bank import Bank, Entry
from trainer.bank.drill import FigureSpec
from trainer.bank.yamltext import Place
from trainer.drawing.fieldpictures import FIELD_KINDS
from trainer.drawing.figures import KINDS, Kind
from trainer.drawing.inspection import misfits
from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise
from trainer.drills.marking import judged
from trainer.drills.mould import Mould, NoWay, cast
from trainer.drills.proofreading import misprints, miswritten
from trainer.drills.reading import read_drill
from trainer.drills.sketch import field_picture, sketch
from trainer.errors import Fault, TrainerError
from trainer.formulas.solved import SolvedForms
from trainer.languages import reading_in

LOOKED_AT = 12  # draws of a find whose figure and working are read back; about five milliseconds each
FIELDS_LOOKED_AT = 3  # draws whose field picture is drawn as well; twenty milliseconds each


@dataclass(frozen=True, slots=True)
class FindReport:
    """What drawing one find many times showed."""

    drill: str
    find: str
    seeds: int
    redrawn: float
    slips: int
    ambiguous: float
    faults: tuple[Fault, ...]


def check_entry(bank: Bank, entry: Entry, forms: SolvedForms) -> tuple[list[Fault], list[Mould]]:
    """Return the faults of one drill and the moulds of the finds that can be asked."""
    drill, located = entry.drill, entry.located
    read, found = read_drill(drill, entry.edition)
    faults = [located.fault(place, says) for place, says in (*found, *_meaning(bank, entry))]
    moulds: list[Mould] = []
    if read is not None:
        for find in drill.finds:
            if find not in drill.quantities:
                faults.append(located.fault(("finds", find), f"'{find}' is not a quantity of this drill"))
                continue
            try:
                moulds.append(cast(read, find, forms))
            except NoWay as error:
                faults.append(located.fault(("finds", find), str(error)))
    faults.extend(_unused_slips(entry, moulds))
    return faults, moulds


def _meaning(bank: Bank, entry: Entry) -> Iterator[tuple[Place, str]]:
    drill = entry.drill
    for index, caution in enumerate(drill.cautions):
        if caution not in bank.cautions:
            yield ("cautions", index), f"there is no caution '{caution}' in cautions.yaml"
    seen: set[str] = set()
    for index, slip in enumerate(drill.slips):
        if slip.id in seen:
            yield ("slips", index, "id"), f"the slip '{slip.id}' stands twice; give each its own id"
        seen.add(slip.id)
    for key in ("steps", "any_unit"):
        for symbol in getattr(drill, key):
            if symbol not in drill.quantities:
                yield (key, symbol), f"'{symbol}' is not a quantity of this drill"
    if all(s.status == "memory" for s in drill.sources) and not drill.unconfirmed:
        yield (
            ("sources",),
            "every source is from memory; write 'unconfirmed: true' so that it is never scored",
        )
    yield from _roles("figure", drill.figure, KINDS)
    if drill.field is not None:
        yield from _roles("field", drill.field, FIELD_KINDS)


def _roles(key: str, spec: FigureSpec, kinds: Mapping[str, Kind]) -> Iterator[tuple[Place, str]]:
    known = kinds.get(spec.kind)
    if known is None:
        yield (key, "kind"), f"there is no {key} '{spec.kind}'; use one of {', '.join(sorted(kinds))}"
        return
    names = {role.name for role in known.roles}
    for role in spec.roles:
        if role not in names and not role.startswith("also-"):
            yield (
                (key, "roles", role),
                f"a {spec.kind} has no role '{role}'; it has {', '.join(sorted(names))}",
            )


def _unused_slips(entry: Entry, moulds: list[Mould]) -> Iterator[Fault]:
    for index, slip in enumerate(entry.drill.slips):
        unknown = [find for find in slip.finds or () if find not in entry.drill.finds]
        if unknown:
            yield entry.located.fault(
                ("slips", index, "finds"),
                f"'{unknown[0]}' is no find; there are {', '.join(entry.drill.finds)}",
            )
        elif moulds and all(m.slips[index] is None for m in moulds):
            yield entry.located.fault(
                ("slips", index), f"the slip '{slip.id}' changes no find; check its formulas"
            )


@reading_in("en")  # what is printed is read back, so it is printed as it is written
def check_find(entry: Entry, mould: Mould, seeds: int) -> FindReport:
    """Draw seeds 0, 1, 2, ... and check each exercise."""
    redrawn = ambiguous = 0
    faults: list[Fault] = []
    place: Place = ("finds", mould.find)
    for seed in range(seeds):
        try:
            exercise = draw(mould, seed)
            redrawn += exercise.redrawn
            ambiguous += len({round(s.value, 9) for s in exercise.slips}) < len(exercise.slips)
            says = unfair(mould, exercise)
            if says is None and seed < LOOKED_AT:
                says = next(misprinted(mould, exercise), None)
            if says is None and seed < FIELDS_LOOKED_AT:
                picture = field_picture(entry.drill, exercise, "check")
                says = next(misfits(picture.figure), None) if picture is not None else None
        except TrainerError as error:
            says = str(error)
        if says is not None:
            faults.append(entry.located.fault(place, f"seed {seed}: {says}"))
        if len(faults) == 3:
            break
    slips = sum(way is not None for way in mould.slips)
    drawn = max(1, seeds)
    return FindReport(
        entry.drill.id,
        mould.find,
        seeds,
        redrawn / (redrawn + drawn),
        slips,
        ambiguous / drawn,
        tuple(faults),
    )


def misprinted(mould: Mould, exercise: Exercise) -> Iterator[str]:
    """Say what does not fit in the figure, asked and solved, and which number printed is not the exercise's."""
    drill = mould.read.drill
    for solved in (False, True):
        figure = sketch(drill, exercise, "check", solved=solved)
        yield from misfits(figure)
        yield from miswritten(drill, exercise, figure)
    yield from misprints(mould, exercise)


def unfair(mould: Mould, exercise: Exercise) -> str | None:
    """Return what is unfair about an exercise, or None."""
    right = exercise.accepted
    if not right.holds(exercise.answer):
        return f"the exact answer {exercise.answer} is outside {right}"
    row = tuple(exercise.given.values())
    for way in mould.alternatives:
        if way.when is not None and not way.when(*row):
            continue
        for value in way.function(*row):
            if not right.holds(value):
                return f"an allowed alternative gives {value}, outside {right}"
    for slip in exercise.slips:
        verdict = judged(mould, exercise, slip.value)
        if verdict.right:
            return f"the slip {mould.read.drill.slips[slip.place].id} gives {slip.value}, which is accepted"
        if mould.read.drill.slips[slip.place].id not in verdict.slips:
            return f"the slip {mould.read.drill.slips[slip.place].id} is not named at {slip.value}"
    return None
