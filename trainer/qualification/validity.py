"""Certificates and employment: validity, work in the method, reinstatement after a rehire."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date

from trainer.languages import _
from trainer.qualification.days import last_valid_day, plus_months
from trainer.qualification.entries import Certificate, Employment, Experience, Work
from trainer.qualification.rows import METHOD, Case, Row, Verdict, current_on, day_row


@dataclass(frozen=True, slots=True)
class Rehire:
    """A rehire after an end of employment, and whether it reinstates the certificate without examination."""

    ended: Employment
    rehired: Employment
    until: date
    objections: tuple[str, ...]

    @property
    def reinstated(self) -> bool:
        """Say whether the certificate is reinstated."""
        return not self.objections


def certificate_rows(case: Case) -> Iterator[Row]:
    """Judge whether the newest certificate is current, and the work in the method since."""
    certificates = case.certificates()
    if not certificates or not case.scheme.holds("certificate.years"):
        return
    newest = certificates[-1]
    ended = _ended(case, newest)
    until = min(valid_until(case, newest), ended.first) if ended else valid_until(case, newest)
    says = [
        _(
            "certificate of %(first)s (%(id)s), last valid day %(until)s",
            first=newest.first,
            id=newest.id,
            until=until,
        )
    ]
    if ended and ended.first == until:
        says.append(_("it ended with the employment on %(first)s (%(id)s)", first=ended.first, id=ended.id))
    yield day_row(
        "certificate_current",
        current_on(until, case.on),
        case.rules_on(newest.first).figure("certificate.years"),
        says=says,
        until=until,
        missing=_(
            "shortest way: what the document asks for a new certificate, decided by the Level III "
            "and the employer"
        ),
        entries=[newest.id, *([ended.id] if ended else [])],
    )
    if case.scheme.holds("interruption.months"):
        yield _performance_row(case, newest)


def valid_until(case: Case, certificate: Certificate) -> date:
    """Return the last valid day of a certificate: by the rules of its grant, or its own if that is earlier."""
    years = case.rules_on(certificate.first).whole("certificate.years")
    until = last_valid_day(certificate.first, years)
    return min(until, certificate.until) if certificate.until else until


def reinstatement_rows(case: Case) -> Iterator[Row]:
    """Judge the newest rehire after an end of employment, if no certificate was granted since."""
    rehires = _rehires(case)
    if not rehires:
        return
    rehire = rehires[-1]
    if any(certificate.first >= rehire.rehired.first for certificate in case.certificates()):
        return
    back = _(
        "employment ended %(ended)s, rehired %(rehired)s, in time until %(until)s",
        ended=rehire.ended.first,
        rehired=rehire.rehired.first,
        until=rehire.until,
    )
    yield day_row(
        "reinstatement_without_exam",
        Verdict.MET if rehire.reinstated else Verdict.NOT_MET,
        case.scheme.figure("rehire.months"),
        says=[back, *rehire.objections],
        until=rehire.until,
        missing=_("reinstatement needs the examinations again"),
        entries=[rehire.ended.id, rehire.rehired.id],
    )


def _events(case: Case) -> list[Employment]:
    return case.counting.by_date(case.counting.of(Employment))


def _rehires(case: Case) -> list[Rehire]:
    """Return each rehire that follows an end of employment, in order of days."""
    months = case.scheme.count("rehire.months")
    found, ended = list[Rehire](), None
    for event in _events(case):
        if event.event == "ended":
            ended = event
        elif event.event == "rehired" and ended is not None and months is not None:
            until = plus_months(ended.first, months)
            found.append(Rehire(ended, event, until, tuple(_objections(case, ended, event, until))))
    return found


def _objections(case: Case, ended: Employment, rehired: Employment, until: date) -> Iterator[str]:
    if rehired.first > until:
        yield _("the rehire came after %(until)s", until=until)
    if rehired.records_kept is not True:
        yield _("it is not on record that the employer kept the records")
    earlier = [entry for entry in case.certificates() if entry.first <= ended.first]
    if not earlier:
        yield _("no certificate was granted before the employment ended")
    elif valid_until(case, earlier[-1]) < rehired.first:
        yield _("the certificate ran out on %(day)s, before the rehire", day=valid_until(case, earlier[-1]))


def _ended(case: Case, certificate: Certificate) -> Employment | None:
    """Return the first end of employment since the grant that no reinstating rehire made good."""
    if not case.scheme.flag("certificate.ends_with_employment"):
        return None
    events, rehires = _events(case), _rehires(case)
    for place, event in enumerate(events):
        if event.event != "ended" or event.first < certificate.first:
            continue
        back = next((later for later in events[place + 1 :] if later.event == "rehired"), None)
        if not any(rehire.rehired is back and rehire.reinstated for rehire in rehires):
            return event
    return None


def _performance_row(case: Case, newest: Certificate) -> Row:
    months = case.scheme.whole("interruption.months")
    proofs = [(entry.last or entry.first, entry.id) for entry in _proofs(case)]
    last, identity = max([*proofs, (newest.first, newest.id)])
    until = plus_months(last, months)
    return day_row(
        "continued_performance",
        Verdict.MET if case.on <= until else Verdict.NOT_MET,
        case.scheme.figure("interruption.months"),
        says=[
            _(
                "last proof of work in %(method)s, or newest grant, on %(last)s (%(identity)s), good "
                "through %(until)s",
                method=METHOD,
                last=last,
                identity=identity,
                until=until,
            )
        ],
        until=until,
        missing=_(
            "shortest way: work in %(method)s with proof, as the document lets a suspended "
            "certificate resume",
            method=METHOD,
        ),
        entries=[identity],
    )


def _proofs(case: Case) -> Iterator[Work | Experience]:
    for work in case.counting.of(Work):
        if work.method == METHOD:
            yield work
    for job in case.counting.of(Experience):
        if job.nature == "job" and METHOD in job.methods:
            yield job
