"""Near and colour vision: which check is kept, until when it is good."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trainer.languages import N_, _, ngettext
from trainer.qualification.counting import in_words
from trainer.qualification.days import plus_months, plus_years
from trainer.qualification.entries import Vision
from trainer.qualification.rows import Case, Row, Verdict, current_on, day_row
from trainer.qualification.words import number_text

CHECKS = {"near": N_("near-vision check"), "colour": N_("colour-vision check")}
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
    return Kept(check, plus_months(check.first, case.rules_on(check.first).whole("vision_near.months")))


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
        yield _(
            "the chart %(chart)s is not one of %(listed)s",
            chart=check.chart,
            listed=", ".join(sorted(CHARTS[asked])),
        )
    least = rules.number("vision_near.distance")
    if least is not None and check.distance_cm is not None and check.distance_cm < least:
        yield _(
            "%(distance)s cm is nearer than %(least)s cm",
            distance=number_text(check.distance_cm),
            least=number_text(least),
        )


def _near_row(case: Case) -> Row:
    day, applied = case.on, ""
    application = case.application() if case.scheme.word("vision_near.day") == "application" else None
    if application is not None:
        day, applied = (
            application.first,
            _("judged on the day of the application, %(first)s", first=application.first),
        )
    kept = near_kept(case, day)
    rules = case.rules_on(kept.check.first) if kept else case.scheme
    months = case.scheme.whole("vision_near.months")
    verdict = current_on(kept.until, day) if kept else Verdict.NOT_MET
    return day_row(
        "vision_near",
        verdict,
        rules.figure("vision_near.months"),
        says=[_stands("near", kept, verdict), applied, *_near_notes(case, kept, day)],
        until=kept.until if kept else None,
        missing=_way("near", ngettext("good for %(n)s month", "good for %(n)s months", months)),
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
        missing=_way(
            "colour",
            _("asked once")
            if years is None
            else ngettext("good for %(n)s year", "good for %(n)s years", years),
        ),
        entries=[kept.check.id] if kept else [],
    )


def _before_row(case: Case, first_sitting: date) -> Row:
    kept = near_kept(case, first_sitting)
    met = kept is not None and (kept.until is None or first_sitting <= kept.until)
    later = [c for c in case.counting.of(Vision) if c.test == "near" and c.first > first_sitting]
    notes = [
        ngettext(
            "%(id)s is dated %(n)s day after the examination",
            "%(id)s is dated %(n)s days after the examination",
            (c.first - first_sitting).days,
            id=c.id,
        )
        for c in later
    ]
    return day_row(
        "vision_before_exam",
        Verdict.MET if met else Verdict.NOT_MET,
        case.scheme.figure("before_examination"),
        says=[
            _("near vision on the day of the first sitting, %(first_sitting)s", first_sitting=first_sitting),
            *([] if met else notes),
        ],
        missing=_("the vision check comes before the examination: no check was good on that day"),
        entries=[kept.check.id] if kept else [],
    )


def _stands(test: str, kept: Kept | None, verdict: Verdict) -> str:
    check = _(CHECKS[test])
    if kept is None:
        return _("no %(check)s stands", check=check)
    told = {"check": check, "day": kept.check.first, "id": kept.check.id, "until": kept.until}
    if kept.until is None:
        return _("%(check)s of %(day)s (%(id)s), asked once", **told)
    if verdict is Verdict.EXPIRED:
        return _("%(check)s of %(day)s (%(id)s), ran out on %(until)s", **told)
    return _("%(check)s of %(day)s (%(id)s), good through %(until)s", **told)


def _way(test: str, how_long: str) -> str:
    who = in_words(Vision.entitled)
    return _(
        "shortest way: a %(check)s passed (%(how_long)s), entered by one and countersigned by %(who)s",
        check=_(CHECKS[test]),
        how_long=how_long,
        who=who,
    )


def _near_notes(case: Case, kept: Kept | None, day: date) -> Iterator[str]:
    if case.scheme.word("vision_near.chart") == "unset":
        yield _(
            "the chart of this document was not read: the finer charts are taken until the written practice "
            "sets vision_near.chart"
        )
    if kept is not None and kept.check.distance_cm is None and case.scheme.holds("vision_near.distance"):
        yield _("no distance was given, so it was not judged")
    yield from _other_notes(case, "near", day)


def _colour_notes(kept: Kept | None) -> Iterator[str]:
    if kept is not None and kept.check.result == "restricted":
        yield _("restriction: %(restriction)s", restriction=kept.check.restriction or _("not written down"))


def _other_notes(case: Case, test: str, day: date) -> Iterator[str]:
    for check in case.counting.of(Vision):
        if check.test != test or check.first > day:
            continue
        if check.result == "fail":
            yield _("the check of %(first)s (%(id)s) was failed", first=check.first, id=check.id)
        else:
            for why in _objections(case, check):
                yield _(
                    "the check of %(first)s (%(id)s) is passed over: %(why)s",
                    first=check.first,
                    id=check.id,
                    why=why,
                )
    for entry, why in case.counting.waiting(Vision):
        if entry.test == test:
            yield _(
                "the check of %(first)s (%(id)s) is unverified: %(why)s",
                first=entry.first,
                id=entry.id,
                why=why,
            )
