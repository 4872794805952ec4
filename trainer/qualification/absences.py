"""Significant interruption: time away from the method, joined and summed (V9, the house's reading).

S33 and S34 say over one year at a stretch or over two years in sum; how a day is counted is ours.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trainer.languages import _
from trainer.qualification.days import plus_days, plus_years
from trainer.qualification.entries import Absence
from trainer.qualification.rows import Case, Row, Verdict, day_row

SHORT_DAYS = 30
EXCUSED = ("holiday", "sickness", "course")


@dataclass(frozen=True, slots=True)
class Span:
    """Days away, both ends counted."""

    first: date
    last: date

    @property
    def days(self) -> int:
        """Number of days."""
        return (self.last - self.first).days + 1


def absence_rows(case: Case) -> Iterator[Row]:
    """Judge absences where a scheme speaks of a significant interruption."""
    absences = case.counting.of(Absence)
    if not absences or not case.scheme.holds("absence.years"):
        return
    spans = joined(_away(case, absences))
    years, most = case.scheme.whole("absence.years"), case.scheme.whole("absence.sum_days")
    long = [span for span in spans if span.last >= plus_years(span.first, years)]
    total = sum(span.days for span in spans)
    summed = len(spans) > 1 and total > most
    says = [
        _(
            "%(days)s days away (%(first)s to %(last)s), over one year",
            days=span.days,
            first=span.first,
            last=span.last,
        )
        for span in long
    ]
    if summed:
        says.append(
            _(
                "%(total)s days away in %(spans)s absences, over %(most)s days in sum",
                total=total,
                spans=len(spans),
                most=most,
            )
        )
    if not says:
        says.append(_("%(total)s days away that count, no significant interruption", total=total))
    yield day_row(
        "no_significant_interruption",
        Verdict.NOT_MET if long or summed else Verdict.MET,
        case.scheme.figure("absence.years"),
        says=says,
        missing=_("the certification body says what a significant interruption costs"),
        entries=[absence.id for absence in absences],
    )


def _away(case: Case, absences: list[Absence]) -> Iterator[Span]:
    """Yield the spans that count: ended on the day asked, short excused ones and days before the grant left out."""
    certificates = case.certificates()
    for absence in absences:
        last = min(absence.last or case.on, case.on)
        span = Span(absence.first, last)
        if absence.reason in EXCUSED and span.days < SHORT_DAYS:
            continue
        first = max(span.first, certificates[-1].first) if certificates else span.first
        if first <= last:
            yield Span(first, last)


def joined(spans: Iterator[Span]) -> list[Span]:
    """Join spans that overlap or touch."""
    out: list[Span] = []
    for span in sorted(spans, key=lambda item: item.first):
        if out and span.first <= plus_days(out[-1].last, 1):
            out[-1] = Span(out[-1].first, max(out[-1].last, span.last))
        else:
            out.append(span)
    return out
