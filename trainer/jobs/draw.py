"""Draw jobs: job and seed give the same numbers for ever, and every step can be marked fairly."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any, NamedTuple

from trainer.drills.accepting import Inseparable
from trainer.drills.draw import LARGEST_SEED, MOST_DRAWS, read_number, solved_with
from trainer.drills.exercise import Exercise
from trainer.drills.numbers import Numbers
from trainer.errors import Refused
from trainer.formulas.units import unit
from trainer.formulas.writing import kept_number, rounded
from trainer.jobs.casting import CastJob, CastPart

_FIGURES = 6  # figures of a value that is carried from one unit into another


class DrawnJob(NamedTuple):
    """One drawn job: its values as shown, and each step worked with the right answers of the steps before."""

    job: str
    edition: str
    seed: int
    given: dict[str, float]
    texts: dict[str, str]
    situation: int
    exercises: tuple[Exercise, ...]
    redrawn: int

    def snapshot(self) -> dict[str, Any]:
        """Return what must be kept so that the job can be made again whatever happens to the bank."""
        return {
            "job": self.job,
            "edition": self.edition,
            "seed": self.seed,
            "given": dict(self.texts),
            "situation": self.situation,
            "drills": {one.drill: one.edition for one in self.exercises},
        }


def draw(cast: CastJob, seed: int) -> DrawnJob:
    """Draw the job of this seed; Refused where its ranges leave no fair draw."""
    if not 0 <= seed <= LARGEST_SEED:
        raise Refused(f"a seed is a whole number from 0 to {LARGEST_SEED}")
    for turn in range(MOST_DRAWS):
        stream = Numbers(f"{cast.job.id}/{seed}/{turn}")
        texts: dict[str, str] = {}
        for grid in cast.grids:
            texts[grid.symbol] = grid.texts[stream.below(len(grid.values))]
        try:
            return _made(cast, seed, texts, stream.below(len(cast.job.situations)), turn, fair=True)
        except (ArithmeticError, ValueError):
            continue
    raise Refused(f"{cast.job.id}: no fair draw in {MOST_DRAWS}; widen its ranges")


def remade(cast: CastJob, snapshot: Mapping[str, Any]) -> DrawnJob:
    """Make a stored job again from the numbers that were shown."""
    return _made(cast, snapshot["seed"], dict(snapshot["given"]), snapshot["situation"], 0, fair=False)


def worked(cast: CastJob, drawn: DrawnJob, place: int, own: Mapping[int, float]) -> Exercise:
    """Work one step with these answers of earlier steps (place: value), the right ones where none is named.

    Raises ArithmeticError or ValueError where the rule has no result for them.
    """
    answers = [own.get(i, one.answer) for i, one in enumerate(drawn.exercises[:place])]
    return _worked(cast.parts[place], cast, drawn.given, drawn.texts, answers, drawn.situation, fair=False)


def _made(cast: CastJob, seed: int, texts: dict[str, str], situation: int, turn: int, fair: bool) -> DrawnJob:
    given = {symbol: read_number(text) for symbol, text in texts.items()}
    exercises: list[Exercise] = []
    for part in cast.parts:
        answers = [one.answer for one in exercises]
        one = _worked(part, cast, given, texts, answers, situation, fair)
        if fair:
            _test_part(part, cast, given, texts, answers, one)
        exercises.append(one)
    row = (*given.values(), *(one.answer for one in exercises))
    if fair and not all(test(*row) for test in cast.tests):
        raise Inseparable
    made = tuple(one._replace(seed=seed) for one in exercises)
    return DrawnJob(cast.job.id, cast.entry.edition, seed, given, texts, situation, made, turn)


def _test_part(
    part: CastPart, cast: CastJob, given: Mapping[str, float], texts: Mapping[str, str],
    answers: Sequence[float], one: Exercise,
) -> None:  # fmt: skip
    """Throw a draw away that breaks the drill's conditions, or whose count hangs on a rounded answer."""
    if not part.holds(*one.given.values()):
        raise Inseparable
    if part.mould.whole and part.earlier:
        short = [rounded(value, 3) for value in answers]
        if _worked(part, cast, given, texts, short, 0, fair=False).answer != one.answer:
            raise Inseparable


def _worked(
    part: CastPart, cast: CastJob, given: Mapping[str, float], texts: Mapping[str, str],
    answers: Sequence[float], situation: int, fair: bool,
) -> Exercise:  # fmt: skip
    """Carry every number into the drill's units and work the step."""
    quantities = part.mould.read.drill.quantities
    values: dict[str, float] = {}
    shown: dict[str, str] = {}
    for symbol, name in part.given:
        source, wanted = unit(cast.job.given[name].unit), unit(quantities[symbol].unit)
        shown[symbol] = (
            texts[name] if source == wanted else kept_number(source.to(wanted, given[name]), _FIGURES)
        )
        values[symbol] = read_number(shown[symbol])
    for symbol, place in part.earlier:
        source = unit(cast.parts[place].quantity.unit)
        values[symbol] = source.to(unit(quantities[symbol].unit), answers[place])
        shown[symbol] = kept_number(values[symbol], max(4, quantities[symbol].figures))
    for symbol, value in part.fixed:
        values[symbol], shown[symbol] = value, kept_number(value, _FIGURES)
    row = {symbol: values[symbol] for symbol in part.mould.given}
    one = solved_with(part.mould, row, {s: shown[s] for s in row}, situation, fair)
    return one._replace(texts=shown, values={**values, **one.values})
