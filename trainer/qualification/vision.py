"""Near and colour vision: which check is kept, until when it is good."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trainer.qualification.counting import in_words
from trainer.qualification.days import plus_months, plus_years
from trainer.qualification.entries import Vision
from trainer.qualification.rows import Case, Row, Verdict, current_on, day_row
from trainer.qualification.words import number_text

FINER = frozenset({"jaeger_1", "n4.5", "iso_18490"})
CHARTS = {
    "jaeger_1": FINER,
    "unset": FINER,
    "jaeger_2": FINER | {"jaeger_2"},
    "any": FINER | {"jaeger_2", "other"},
}


@dataclass(frozen=True, slots=True)
class Kept:
    """The check that stands, and its last good day (none: good for ever)."""

    check: Vision
    until: date | None


def vision_rows(case: Case, first_sitting: date | None) -> Iterator[Row]:
    """Judge near vision, colour vision, and near vision on the day of the first sitting."""
    scheme = case.scheme
    if scheme.holds("vision_near.months"):
        yield _near_row(case)
    if scheme.holds("vision_colour.years") or scheme.holds("vision_colour.once"):
        yield _colour_row(case)
    if scheme.flag("before_examination") and scheme.holds("vision_near.months") and first_sitting:
        yield _before_row(case, first_sitting)


def near_kept(case: Case, day: date) -> Kept | None:
    """Return the near check that stands after all checks up to a day."""
    check = _walk(case, "near", day)
    if check is None:
        return None
    months = case.rules_on(check.first).count("vision_near.months") or 0
    return Kept(check, plus_months(check.first, months))


def colour_kept(case: Case) -> Kept | None:
    """Return the colour check that stands; where it is asked once it is good for ever."""
    check = _walk(case, "colour", case.on)
    if check is None:
        return None
    years = case.rules_on(check.first).count("vision_colour.years")
    return Kept(check, plus_years(check.first, years) if years is not None else None)


def _walk(case: Case, test: str, day: date) -> Vision | None:
    kept = None
    for check in case.counting.by_date(case.counting.of(Vision)):
        if check.test != test or check.first > day:
            continue
        if check.result == "fail":
            kept = None
        elif not any(_objections(case, check)):
            kept = check
    return kept


def _objections(case: Case, check: Vision) -> Iterator[str]:
    """Say why a passed check is not acceptable."""
    if check.test != "near":
        return
    rules = case.rules_on(check.first)
    asked = rules.word("vision_near.chart") or "any"
    if check.chart not in CHARTS[asked]:
        yield f"the chart {check.chart} is not one of {', '.join(sorted(CHARTS[asked]))}"
    least = rules.number("vision_near.distance")
    if least is not None and check.distance_cm is not None and check.distance_cm < least:
        yield f"{number_text(check.distance_cm)} cm is nearer than {number_text(least)} cm"


def _near_row(case: Case) -> Row:
    day, applied = case.on, ""
    application = case.application() if case.scheme.word("vision_near.day") == "application" else None
    if application is not None:
        day, applied = application.first, f"judged on the day of the application, {application.first}"
    kept = near_kept(case, day)
    rules = case.rules_on(kept.check.first) if kept else case.scheme
    months = case.scheme.count("vision_near.months")
    verdict = current_on(kept.until, day) if kept else Verdict.NOT_MET
    return day_row(
        "vision_near",
        verdict,
        rules.figure("vision_near.months"),
        says=[_stands("near", kept, verdict), applied, *_near_notes(case, kept, day)],
        until=kept.until if kept else None,
        missing=_way("near", f"good for {months} months"),
        entries=[kept.check.id] if kept else [],
        beside=[rules.figures.get(key) for key in ("vision_near.chart", "vision_near.distance")],
    )


def _colour_row(case: Case) -> Row:
    kept = colour_kept(case)
    rules = case.rules_on(kept.check.first) if kept else case.scheme
    years = rules.count("vision_colour.years")
    key = "vision_colour.once" if years is None else "vision_colour.years"
    verdict = current_on(kept.until, case.on) if kept else Verdict.NOT_MET
    return day_row(
        "vision_colour",
        verdict,
        rules.figure(key),
        says=[_stands("colour", kept, verdict), *_colour_notes(kept), *_other_notes(case, "colour", case.on)],
        until=kept.until if kept else None,
        missing=_way("colour", "asked once" if years is None else f"good for {years} years"),
        entries=[kept.check.id] if kept else [],
    )


def _before_row(case: Case, first_sitting: date) -> Row:
    kept = near_kept(case, first_sitting)
    met = kept is not None and (kept.until is None or first_sitting <= kept.until)
    later = [c for c in case.counting.of(Vision) if c.test == "near" and c.first > first_sitting]
    notes = [f"{c.id} is dated {(c.first - first_sitting).days} days after the examination" for c in later]
    return day_row(
        "vision_before_exam",
        Verdict.MET if met else Verdict.NOT_MET,
        case.scheme.figure("before_examination"),
        says=[f"near vision on the day of the first sitting, {first_sitting}", *([] if met else notes)],
        missing="the vision check comes before the examination: no check was good on that day",
        entries=[kept.check.id] if kept else [],
    )


def _stands(test: str, kept: Kept | None, verdict: Verdict) -> str:
    if kept is None:
        return f"no {test}-vision check stands"
    if kept.until is None:
        return f"{test}-vision check of {kept.check.first} ({kept.check.id}), asked once"
    ran = "ran out on" if verdict is Verdict.EXPIRED else "good through"
    return f"{test}-vision check of {kept.check.first} ({kept.check.id}), {ran} {kept.until}"


def _way(test: str, how_long: str) -> str:
    who = in_words(Vision.entitled)
    return (
        f"shortest way: a {test}-vision check passed ({how_long}), entered by one and countersigned by {who}"
    )


def _near_notes(case: Case, kept: Kept | None, day: date) -> Iterator[str]:
    if case.scheme.word("vision_near.chart") == "unset":
        yield (
            "the chart of this document was not read: the finer charts are taken until the written practice "
            "sets vision_near.chart"
        )
    if kept is not None and kept.check.distance_cm is None and case.scheme.holds("vision_near.distance"):
        yield "no distance was given, so it was not judged"
    yield from _other_notes(case, "near", day)


def _colour_notes(kept: Kept | None) -> Iterator[str]:
    if kept is not None and kept.check.result == "restricted":
        yield f"restriction: {kept.check.restriction or 'not written down'}"


def _other_notes(case: Case, test: str, day: date) -> Iterator[str]:
    for check in case.counting.of(Vision):
        if check.test != test or check.first > day:
            continue
        if check.result == "fail":
            yield f"the check of {check.first} ({check.id}) was failed"
        else:
            for why in _objections(case, check):
                yield f"the check of {check.first} ({check.id}) is passed over: {why}"
    for entry, why in case.counting.waiting(Vision):
        if entry.test == test:
            yield f"the check of {entry.first} ({entry.id}) is unverified: {why}"
