"""Mark a typed answer: right, wrong with a named slip, wrong and not recognised, or unreadable with a hint."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations

from trainer.drawing.measures.numerals import inward
from trainer.drills.blunders import NEAR, blunder, written_for
from trainer.drills.exercise import Exercise, Interval
from trainer.drills.mould import Mould, Way
from trainer.drills.verdict import Verdict, Words
from trainer.formulas.typed import AnswerProblem, read_answer
from trainer.formulas.units import TEMPERATURES, Unit, spelled, unit
from trainer.formulas.writing import amount, number
from trainer.languages import N_, _, pgettext

_LIMIT = 12  # figures of an accepted limit: rounding it again might lead out of what is accepted
_NEAR = 0.005  # share within which an answer is taken for a slip's value
_CLOSE = 0.03  # share beyond the accepted interval that is called close
_CARRY = N_("The way is probably right. Carry four figures on the way and round only at the end.")
_LOOK = N_(
    "It fits none of the usual slips. Go through the working below and look for the first line that differs from yours."
)
_FAR_UNDER = N_("You answered %(answer)s. Accepted is %(limits)s, so that is %(miss)s too little.")
_FAR_OVER = N_("You answered %(answer)s. Accepted is %(limits)s, so that is %(miss)s too much.")
_FAR_TIMES = N_(
    "You answered %(answer)s. Accepted is %(limits)s, so that is %(miss)s times as much as it should be."
)


def mark(mould: Mould, exercise: Exercise, text: str, decimal: str = "point") -> Verdict:
    """Mark one answer; ``decimal`` is the person's habit, "point" or "comma"."""
    try:
        typed = read_answer(text, decimal)
        value = _in_working_unit(mould, exercise, typed.value, typed.unit)
    except AnswerProblem as problem:
        says = str(problem)
        return Verdict("unreadable", lambda: (_("That cannot be read yet"), (says,)))
    return judged(mould, exercise, value)


def judged(mould: Mould, exercise: Exercise, value: float) -> Verdict:
    """Judge a number that is already in the find's working unit."""
    if exercise.accepted.holds(value) and (not mould.whole or abs(value - round(value)) < 1e-6):
        return _right(mould, exercise, value)
    return _slip(mould, exercise, value) or _pair(mould, exercise, value) or _other(mould, exercise, value)


def _in_working_unit(mould: Mould, exercise: Exercise, value: float, typed: Unit | None) -> float:
    wanted = unit(mould.read.drill.quantities[mould.find].unit)
    if typed is None:
        return _without_unit(exercise, wanted, value)
    if wanted.name == "A" and typed.name == "A-turn":
        raise AnswerProblem(
            "kind", _("A current is asked for, in amperes; ampere-turns are the current times the turns.")
        )
    if typed.kind != wanted.kind:
        if typed.name == "K":
            raise AnswerProblem(
                "kind",
                _(
                    "K is kelvin, and k alone is no thousand here. Write all the digits, as in %(example)s.",
                    example=sample(wanted.name),
                ),
            )
        shown = typed.sign or _("a plain number")
        if not wanted.shown:
            raise AnswerProblem(
                "kind", _("This answer has no unit. Write the number without %(unit)s.", unit=shown)
            )
        raise AnswerProblem(
            "kind",
            _(
                "%(unit)s is the wrong kind of unit here. The answer is wanted in %(wanted)s or a unit of that kind.",
                unit=shown,
                wanted=wanted.sign,
            ),
        )
    if mould.read.drill.accept.own_unit and typed.name != wanted.name:
        raise AnswerProblem(
            "kind",
            _("Turning the unit is the question here: write the answer in %(unit)s.", unit=wanted.sign),
        )
    return typed.to(wanted, value)


def _without_unit(exercise: Exercise, wanted: Unit, value: float) -> float:
    if not wanted.shown:
        return value
    example = sample(wanted.name)
    if exercise.accepted.holds(value):
        raise AnswerProblem(
            "no unit",
            _(
                "The number is right, the unit is missing. Write it with its unit, as in %(example)s.",
                example=example,
            ),
        )
    raise AnswerProblem(
        "no unit", _("The unit is missing. Write a number and its unit, as in %(example)s.", example=example)
    )


def sample(unit_name: str) -> str:
    """Return an amount in this unit to show how an answer is written; it is nobody's answer."""
    return amount(1234 if unit_name in {"A", "A-turn"} else 12.3, unit_name)


def _right(mould: Mould, exercise: Exercise, value: float) -> Verdict:
    remark = not (exercise.computed.holds(value) or mould.whole or mould.band)
    return Verdict("right", lambda: _right_words(mould, exercise, value, remark), value, remark=remark)


def _right_words(mould: Mould, exercise: Exercise, value: float, remark: bool) -> Words:
    if remark:
        exact = written(mould, exercise.answer)
        allows = mould.read.drill.accept.document_says or _("The document allows the difference.")
        says = _("Calculated with four figures it is %(value)s.", value=exact)
        return _("Right, within the tolerance of the document"), (f"{says} {allows}",)
    if mould.band:
        return pgettext("answer", "Right"), (
            _("Any value from %(limits)s is right.", limits=limits(mould, exercise.accepted)),
        )
    if mould.whole:
        return pgettext("answer", "Right"), (
            _("%(count)s it is; a count has no tolerance.", count=written(mould, value)),
        )
    says = _(
        "The calculation gives %(value)s; %(limits)s is accepted.",
        value=written(mould, exercise.answer), limits=limits(mould, exercise.accepted),
    )  # fmt: skip
    return pgettext("answer", "Right"), (says,)


def _slip(mould: Mould, exercise: Exercise, value: float) -> Verdict | None:
    matches = [s for s in exercise.slips if _matches(value, s.value, s.band, mould.whole)]
    if not matches:
        return None
    matches.sort(key=lambda s: abs(s.value - value))
    nearest = [s for s in matches if s.band or abs(s.value - matches[0].value) <= _NEAR * abs(s.value)]
    slips = [mould.read.drill.slips[s.place] for s in nearest]
    told = slips[:2]
    one, *other = dict.fromkeys(s.name for s in told)
    heading = (
        _("Not right: %(one)s or %(other)s", one=one, other=other[0])
        if other
        else _("Not right: %(slip)s", slip=one)
    )
    says = dict.fromkeys(s.says for s in told)
    return _wrong(mould, exercise, value, heading, *says, slips=tuple(s.id for s in slips))


def _pair(mould: Mould, exercise: Exercise, value: float) -> Verdict | None:
    """Recognise two slips made together where only one pair gives this value."""
    found = [
        (one, two)
        for one, two, wrong in pair_values(mould, exercise)
        if _matches(value, wrong, None, mould.whole, NEAR)
    ]
    if len(found) != 1 or mould.whole:
        return None
    first, second = (mould.read.drill.slips[index] for index in found[0])
    heading = _("Not right: %(one)s, and %(other)s", one=first.name, other=second.name)
    says = (_("Two slips at once."), first.says, second.says)
    return _wrong(mould, exercise, value, heading, *says, slips=(first.id, second.id), together=True)


def pair_values(mould: Mould, exercise: Exercise) -> Iterator[tuple[int, int, float]]:
    """Yield what every two slips made together give here."""
    if mould.band:
        return
    row = tuple(exercise.given.values())
    for one, two in combinations([s.place for s in exercise.slips], 2):
        way = mould.pair(one, two)
        value = _value(way, row) if way is not None else None
        if value is not None:
            yield one, two, value


def _value(way: Way, row: tuple[float, ...]) -> float | None:
    try:
        return way.function(*row)[0]
    except (ArithmeticError, ValueError):
        return None


def _matches(value: float, wrong: float, band: Interval | None, whole: bool, near: float = _NEAR) -> bool:
    if band is not None:
        return band.holds(value)
    if whole:
        return abs(value - wrong) < 1e-9
    return written_for(wrong, value, near)


def _other(mould: Mould, exercise: Exercise, value: float) -> Verdict:
    quantity = mould.read.drill.quantities[mould.find]
    if value <= 0 and quantity.unit not in TEMPERATURES:
        return _wrong(mould, exercise, value, _("Not right: it must be more than zero"))
    found = None if mould.whole else blunder(exercise.answer, exercise.accepted, value)
    if found is not None:
        return _wrong(
            mould,
            exercise,
            value,
            _("Not right: %(slip)s", slip=_(found.name)),
            _(found.says),
            generic=found.id,
        )
    if _is_close(mould, exercise, value):
        return _wrong(mould, exercise, value, _("Not right, but close"), _(_CARRY), generic="close")
    return _wrong(mould, exercise, value, _("Not right"), _(_LOOK))


def _wrong(
    mould: Mould, exercise: Exercise, value: float, heading: str, *says: str,
    slips: tuple[str, ...] = (), together: bool = False, generic: str | None = None,
) -> Verdict:  # fmt: skip
    def words() -> Words:
        return heading, (_distance(mould, exercise, value), *says)

    return Verdict("wrong", words, value, slips, together, generic)


def _is_close(mould: Mould, exercise: Exercise, value: float) -> bool:
    right = exercise.accepted
    room = _CLOSE * max(abs(right.low), abs(right.high))
    return not mould.whole and right.low - room <= value <= right.high + room


def _distance(mould: Mould, exercise: Exercise, value: float) -> str:
    """Say what was answered, what is accepted, and by how much the answer misses."""
    right = exercise.accepted
    short = value < right.low
    gap = right.low - value if short else value - right.high
    says = _FAR_UNDER if short else _FAR_OVER
    miss = written(mould, gap)
    if value > 4 * right.high and right.high > 0:
        says, miss = _FAR_TIMES, amount(value / exercise.answer, "1", 2)
    return _(says, answer=written(mould, value), limits=limits(mould, right), miss=miss)


def limits(mould: Mould, right: Interval) -> str:
    """Write the accepted limits, rounded inward so that what is shown is accepted."""
    if right.low == right.high:
        return written(mould, right.low)
    low, high = inward(right.low, right.high)
    own = mould.read.drill.quantities[mould.find].unit
    return _("%(low)s to %(high)s", low=number(low, _LIMIT), high=amount(high, own, _LIMIT))


def written(mould: Mould, value: float) -> str:
    """Write a value of the find with its unit or its counting word."""
    quantity = mould.read.drill.quantities[mould.find]
    text = amount(value, quantity.unit, 4)
    return f"{text} {quantity.count}" if quantity.count and spelled(quantity.unit) is None else text
