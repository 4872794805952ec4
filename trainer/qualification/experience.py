"""Experience: hours in a set of methods, one clock hour counted once, and the rows made from them.

The counting of shared and overlapping hours is the house's own reading (history format, section 5, V4):
a clock interval counts once, and for one method only if a supervisor split it between methods.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Collection, Iterable, Iterator
from datetime import date
from fractions import Fraction

from trainer.languages import _
from trainer.qualification.counting import in_words
from trainer.qualification.entries import Experience
from trainer.qualification.rows import METHOD, Case, Row, number_row
from trainer.qualification.scheme import Figure
from trainer.qualification.words import ids, number_text

NONE = Fraction(0)
Methods = frozenset[str] | None  # none: every method


def experience_rows(case: Case) -> Iterator[Row]:
    """Judge hours in the method, hours in all methods, and the reduced sum of two methods."""
    method, total = case.figure("experience_method"), case.figure("experience_total")
    two = _two_methods(case)
    if method is not None:
        assert isinstance(method.value, Fraction)
        need, figure = method.value, method
        if two is not None:
            share = case.scheme.number("two_methods.least_percent") or Fraction(100)
            need, figure = (
                max(need * share / 100, case.scheme.number("two_methods.least_months") or NONE),
                two,
            )
        yield _row(case, "experience_method", frozenset({METHOD}), need, method.unit, figure)
    if total is not None:
        assert isinstance(total.value, Fraction)
        yield _row(case, "experience_total", None, total.value, total.unit, total)
    if two is not None and method is not None:
        assert isinstance(two.value, Fraction)
        assert isinstance(method.value, Fraction)
        # The figure of PT is that of MT (history format, section 5), so both together are twice MT's.
        need = 2 * method.value * two.value / 100
        yield _row(case, "experience_sum_reduced", frozenset({METHOD, "PT"}), need, method.unit, two)


def _two_methods(case: Case) -> Figure | None:
    applied = case.application()
    if applied is None or set(applied.methods) != {METHOD, "PT"}:
        return None
    return case.scheme.figures.get("two_methods.percent")


def usable(case: Case, entries: Iterable[Experience]) -> list[Experience]:
    """Return the entries that can count for the route: via Level I only those that began after the grant."""
    return [entry for entry in entries if case.granted is None or entry.first >= case.granted]


def hours_for(
    entries: Collection[Experience],
    methods: Methods,
    laboratory: Fraction = NONE,
    most_a_day: Fraction | None = None,
) -> Fraction:
    """Add up the hours that count for a set of methods.

    ``laboratory`` is the share of laboratory hours that counts (0 to 1); ``most_a_day`` caps each shift
    of a run by itself, and all single-day entries of one date together.
    """
    total, days = NONE, defaultdict[date, Fraction](Fraction)
    for entry in entries:
        if entry.start is not None:
            continue
        each = _share(entry, methods, laboratory) / entry.shifts if entry.shifts else NONE
        if entry.ranged:
            total += entry.shifts * _capped(each, most_a_day)
        else:
            days[entry.first] += each
    for day, minutes in _clock_minutes(entries, methods).items():
        days[day] += minutes / 60
    return total + sum((_capped(hours, most_a_day) for hours in days.values()), NONE)


def _capped(hours: Fraction, most: Fraction | None) -> Fraction:
    return hours if most is None else min(hours, most)


def _share(entry: Experience, methods: Methods, laboratory: Fraction) -> Fraction:
    """Return the hours of an entry without a clock time that belong to the methods."""
    factor = laboratory if entry.nature == "laboratory" else Fraction(1)
    if methods is None or methods.issuperset(entry.methods):
        return factor * entry.hours
    if entry.split is None:
        return NONE
    return factor * sum((hours for method, hours in entry.split.items() if method in methods), NONE)


def _clock_minutes(entries: Iterable[Experience], methods: Methods) -> dict[date, Fraction]:
    """Count each moment of the day once, and only if every entry that covers it is in the methods."""
    spans = defaultdict[date, list[tuple[Fraction, Fraction, bool]]](list)
    for entry in entries:
        if entry.start is not None:
            belongs = methods is None or entry.methods[0] in methods
            start = Fraction(entry.start)
            spans[entry.first].append((start, start + entry.hours * 60, belongs))
    return {day: _covered(of_day) for day, of_day in spans.items()}


def _covered(spans: list[tuple[Fraction, Fraction, bool]]) -> Fraction:
    """Sweep over the edges of the spans, keeping count of those open and of those that do not belong."""
    edges = sorted(
        edge
        for start, end, belongs in spans
        for edge in ((start, 1, int(not belongs)), (end, -1, -int(not belongs)))
    )
    counted, since, covering, foreign = NONE, NONE, 0, 0
    for moment, step, foreign_step in edges:
        if covering and not foreign:
            counted += moment - since
        since, covering, foreign = moment, covering + step, foreign + foreign_step
    return counted


def _row(case: Case, identity: str, methods: Methods, need: Fraction, unit: str, figure: Figure) -> Row:
    entries = usable(case, case.counting.of(Experience))
    waiting = usable(case, (entry for entry, _why in case.counting.waiting(Experience)))
    per_unit = case.scheme.hours_in(unit)
    hours = _hours(case, entries, methods)
    gain = _hours(case, [*entries, *waiting], methods) - hours
    short = need * per_unit - hours
    named = _("all methods") if methods is None else _(" and ").join(sorted(methods))
    return number_row(
        identity,
        hours / per_unit,
        need,
        unit,
        figure,
        what=_("experience in %(named)s", named=named),
        missing=_missing(short, gain, waiting, named),
        notes=_notes(case, entries, methods, hours),
        entries=[entry.id for entry in entries if _hours(case, [entry], methods)],
    )


def _hours(case: Case, entries: Collection[Experience], methods: Methods) -> Fraction:
    laboratory = (case.scheme.number("laboratory.percent") or NONE) / 100
    return hours_for(entries, methods, laboratory, case.scheme.number("experience.day_most_hours"))


def _missing(short: Fraction, gain: Fraction, waiting: list[Experience], named: str) -> str:
    who = in_words(Experience.entitled)
    if waiting and gain >= short:
        which = ids(entry.id for entry in waiting)
        return _(
            "%(short)s h short; shortest way: have %(which)s countersigned by %(who)s",
            short=number_text(short),
            which=which,
            who=who,
        )
    more = number_text(short)
    return _(
        "shortest way: %(more)s h more of work in %(named)s, entered by one and countersigned "
        "by another: %(who)s",
        more=more,
        named=named,
        who=who,
    )


def _notes(case: Case, entries: list[Experience], methods: Methods, counted: Fraction) -> Iterator[str]:
    shared = [
        entry
        for entry in entries
        if methods is not None
        and entry.split is None
        and methods & set(entry.methods)
        and not methods.issuperset(entry.methods)
    ]
    if shared:
        hours = number_text(sum((entry.hours for entry in shared), NONE))
        yield (
            _(
                "%(hours)s h logged to several methods at once and not split (%(entries)s) count for "
                "no single method until the supervisor splits them",
                hours=hours,
                entries=ids(e.id for e in shared),
            )
        )
    yield from _laboratory_note(case, entries, methods)
    yield from _lost_note(case, entries, methods, counted)
    yield from _left_out_notes(case, methods)


def _laboratory_note(case: Case, entries: list[Experience], methods: Methods) -> Iterator[str]:
    exercises = [e for e in entries if e.nature == "laboratory" and _touches(e, methods)]
    if not exercises:
        return
    hours = number_text(sum((entry.hours for entry in exercises), NONE))
    percent = case.scheme.number("laboratory.percent")
    told = {"hours": hours, "entries": ids(entry.id for entry in exercises)}
    if percent:
        share = number_text(percent)
        yield _(
            "%(hours)s h of laboratory time (%(entries)s): laboratory time counts to %(percent)s %%",
            **told,
            percent=share,
        )
    else:
        yield _(
            "%(hours)s h of laboratory time (%(entries)s): laboratory time is training, not work experience",
            **told,
        )


def _lost_note(case: Case, entries: list[Experience], methods: Methods, counted: Fraction) -> Iterator[str]:
    apart = sum((_hours(case, [entry], methods) for entry in entries), NONE)
    if apart > counted:
        yield _(
            "%(apart)s h lie over each other or above the day's limit and count once",
            apart=number_text(apart - counted),
        )


def _left_out_notes(case: Case, methods: Methods) -> Iterator[str]:
    early = [e for e in case.counting.of(Experience) if case.granted and e.first < case.granted]
    early = [entry for entry in early if _touches(entry, methods)]
    if early:
        hours = number_text(sum((entry.hours for entry in early), NONE))
        yield _(
            "%(hours)s h begun before the Level I certificate of %(granted)s are already spent",
            hours=hours,
            granted=case.granted,
        )
    for entry, why in case.counting.waiting(Experience):
        if _touches(entry, methods):
            yield _(
                "%(hours)s h of %(id)s unverified: %(why)s",
                hours=number_text(entry.hours),
                id=entry.id,
                why=why,
            )


def _touches(entry: Experience, methods: Methods) -> bool:
    return methods is None or bool(methods & set(entry.methods))
