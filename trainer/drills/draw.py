"""Draw exercises: drill, find and seed give the same exercise for ever, and one that can be marked fairly.

A draw whose numbers break the drill's conditions, whose working has no value, or whose accepted
interval cannot be told from a slip is thrown away and drawn again from the next stream.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from decimal import Decimal

from trainer.drills.accepting import Inseparable, accepted
from trainer.drills.exercise import Exercise, Interval, SlipValue
from trainer.drills.mould import Mould
from trainer.drills.numbers import Numbers
from trainer.errors import Refused
from trainer.formulas.writing import MINUS, NARROW, kept_number

MOST_DRAWS = 300
LARGEST_SEED = 2**63 - 1
_LEAST_GAP = 0.03  # share of the answer by which a slip must miss it
_EDGE = 0.01  # share of the answer by which a slip must miss the accepted interval


def draw(mould: Mould, seed: int) -> Exercise:
    """Draw the exercise of this seed; Refused where the drill's ranges leave no fair draw."""
    if not 0 <= seed <= LARGEST_SEED:
        raise Refused(f"a seed is a whole number from 0 to {LARGEST_SEED}")
    name = f"{mould.read.drill.id}/{mould.find}/{seed}"
    for turn in range(MOST_DRAWS):
        stream = Numbers(f"{name}/{turn}")
        try:
            return _drawn(mould, seed, stream, turn)
        except (ArithmeticError, ValueError):
            continue
    raise Refused(
        f"{mould.read.drill.id}: no fair draw for {mould.find} in {MOST_DRAWS}; widen its ranges or its slips"
    )


def remade(mould: Mould, seed: int, texts: Mapping[str, str], situation: int) -> Exercise:
    """Make a stored exercise again from the numbers that were shown."""
    given = {symbol: read_number(texts[symbol]) for symbol in mould.given}
    return _exercise(mould, seed, given, dict(texts), {}, situation, 0, fair=False)


def solved_with(
    mould: Mould, given: Mapping[str, float], texts: Mapping[str, str], situation: int = 0, fair: bool = False
) -> Exercise:
    """Work a mould with values of one's own; nothing is drawn, and only where it is to be ``fair`` must
    every slip be far away.

    Raises ArithmeticError or ValueError where the working has no value.
    """
    return _exercise(mould, 0, dict(given), dict(texts), {}, situation, 0, fair)


def read_number(text: str) -> float:
    """Read a number as the house printed it."""
    return float(Decimal(text.replace(NARROW, "").replace(MINUS, "-")))


def _drawn(mould: Mould, seed: int, stream: Numbers, turn: int) -> Exercise:
    numbers: list[float] = []
    texts: dict[str, str] = {}
    for grid in mould.grids:
        place = stream.below(len(grid.values))
        numbers.append(grid.values[place])
        texts[grid.symbol] = grid.texts[place]
    situation = stream.below(len(mould.read.drill.situations))
    row = (*numbers, *mould.forward(*numbers))
    _test(mould, row)
    everything = dict(zip(mould.symbols, row, strict=True))
    for symbol in mould.derived_given:
        texts[symbol] = kept_number(everything[symbol], mould.read.drill.quantities[symbol].figures)
        everything[symbol] = read_number(texts[symbol])
    given = {symbol: everything[symbol] for symbol in mould.given}
    shown = {symbol: texts[symbol] for symbol in mould.given}
    return _exercise(mould, seed, given, shown, everything, situation, turn, fair=True)


def _test(mould: Mould, row: Sequence[float]) -> None:
    for test in mould.tests:
        if not test(*row):
            raise Inseparable


def _exercise(
    mould: Mould, seed: int, given: dict[str, float], texts: dict[str, str], everything: dict[str, float],
    situation: int, turn: int, fair: bool,
) -> Exercise:  # fmt: skip
    row = tuple(given.values())
    answer, steps, right, computed = accepted(mould, row, fair)
    if not math.isfinite(answer):
        raise Inseparable
    values = {**everything, **given, **steps}
    if not mould.band:
        values[mould.find] = answer
    if fair and mould.derived_given:
        _test(mould, [values[s] for s in mould.symbols])
    slips = _slips(mould, row, answer, right, computed, fair)
    return Exercise(
        mould.read.drill.id, mould.read.edition, seed, mould.find, given, texts, values,
        answer, right, computed, slips, situation, turn,
    )  # fmt: skip


def _slips(
    mould: Mould, row: Sequence[float], answer: float, right: Interval, computed: Interval, fair: bool
) -> tuple[SlipValue, ...]:
    low, high = _walls(mould, answer, right, computed)
    out = []
    for index, way in mould.slip_ways:
        try:
            if way.when is not None and not way.when(*row):
                continue
            got = way.function(*row)
        except (ArithmeticError, ValueError):
            continue
        if mould.band:
            found = _banded(index, got, right)
            if found is not None:
                out.append(found)
        elif 0 < got[0] < math.inf:
            if fair and low <= got[0] <= high:
                raise Inseparable
            out.append(SlipValue(index, got[0]))
    return tuple(out)


def _walls(mould: Mould, answer: float, right: Interval, computed: Interval) -> Interval:
    """Return the stretch that no slip may fall into: near the answer, or near what is accepted."""
    if mould.whole:
        return Interval(right.low - 1e-9 * abs(right.low), right.high + 1e-9 * abs(right.high))
    accept, size = mould.read.drill.accept, abs(answer)
    envelope = max(computed.high - answer, answer - computed.low) - accept.within * size
    gap = max(_LEAST_GAP * size, 3 * envelope, 2 * (accept.absolute or 0.0)) * (1 - 1e-12)
    edge = _EDGE * size
    return Interval(min(answer - gap, right.low - edge), max(answer + gap, right.high + edge))


def _banded(index: int, got: Sequence[float], right: Interval) -> SlipValue | None:
    """Return a slip's band with the end that lies farthest outside what is right, or None where none does."""
    if not all(0 < value < math.inf for value in got):
        return None
    band = Interval(min(got), max(got))
    far = band.low if right.low - band.low > band.high - right.high else band.high
    return None if right.holds(far) else SlipValue(index, far, band)
