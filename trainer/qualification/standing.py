"""The standing: a history judged on a day against a scheme at a level.

A standing says which prerequisites are met on these records on this day. It certifies nobody: that is
decided by the Level III and the employer, or by the certification body.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date

from trainer.errors import Refused
from trainer.languages import _
from trainer.qualification.absences import absence_rows
from trainer.qualification.counting import Counting, counting_on
from trainer.qualification.entries import Level
from trainer.qualification.examinations import examination_rows, results_rows
from trainer.qualification.experience import experience_rows
from trainer.qualification.practice import WrittenPractice, based_on, read_practice, under_practice
from trainer.qualification.reading.history import History
from trainer.qualification.revisions import Revisions
from trainer.qualification.rows import METHOD, Case, Row, Verdict, certificates_of
from trainer.qualification.scheme import Scheme
from trainer.qualification.sittings import walk_initial
from trainer.qualification.training import training_before_rows, training_rows
from trainer.qualification.validity import certificate_rows, reinstatement_rows
from trainer.qualification.vision import vision_rows


class NotJudged(Refused):
    """The scheme has no figures for what is asked."""

    exit_code = 2


@dataclass(frozen=True, slots=True)
class Standing:
    """All prerequisites of a scheme and level on a day, and the verdict over the rows shown.

    ``route`` says how Level II was judged. ``remarks`` say what was not judged and what else a reader
    must know. ``unverified`` are the ids of entries that count for nothing, with the reason.
    """

    person: str | None
    scheme: Scheme
    level: Level
    route: str
    on: date
    practice: WrittenPractice | None
    prerequisites: tuple[Row, ...]
    overall: Verdict
    remarks: tuple[str, ...]
    unverified: tuple[tuple[str, str], ...]

    @property
    def missing(self) -> tuple[tuple[str, str], ...]:
        """Return the prerequisites that are not met, each with the shortest way to it."""
        return tuple((row.id, row.missing) for row in self.prerequisites if row.missing)

    @property
    def says(self) -> str:
        """Say the outcome in one sentence; it never says that anybody is certified."""
        asked = _(
            "%(document)s %(edition)s, %(method)s Level %(level)s",
            document=self.scheme.document,
            edition=self.scheme.edition,
            method=METHOD,
            level=self.level,
        )
        short = [row.id for row in self.prerequisites if row.verdict is Verdict.NOT_MET]
        ran_out = [row.id for row in self.prerequisites if row.verdict is Verdict.EXPIRED]
        if not short and not ran_out:
            return _(
                "Prerequisites shown are met on %(on)s on these records (%(asked)s); whether to "
                "certify is decided by the people whom the document names.",
                on=self.on,
                asked=asked,
            )
        told = [_("not met: %(names)s", names=", ".join(short))] if short else []
        told += [_("expired: %(names)s", names=", ".join(ran_out))] if ran_out else []
        return _(
            "Prerequisites are not all met on %(on)s on these records (%(asked)s); %(told)s.",
            on=self.on,
            asked=asked,
            told="; ".join(told),
        )


def standing(
    history: History,
    scheme: Scheme,
    level: Level,
    on: date,
    written_practice: WrittenPractice | Revisions | None = None,
) -> Standing:
    """Judge a history on a day; the file's own written practice applies if it builds on ``scheme``.

    A written practice that is passed comes before the file's own. Of several revisions the one in force on
    the day asked applies, and to each examination, vision check and certificate that of its own day.
    Raises NotJudged for a level that the scheme does not judge, and FaultyHistory for a written practice in
    the file that cannot be read.
    """
    if level not in scheme.levels:
        raise NotJudged(
            _(
                "%(scheme)s is judged at Level %(levels)s only; ask for that",
                scheme=scheme.id,
                levels=_(" and ").join(map(str, scheme.levels)),
            )
        )
    revisions = None
    if isinstance(written_practice, Revisions):
        revisions, written_practice = written_practice, written_practice.practice_on(on)
    practice, remarks = _practice(history, scheme, written_practice)
    if practice is not None and practice.based_on != scheme.id:
        raise NotJudged(
            _(
                "this written practice builds on %(based_on)s; judge it against that scheme",
                based_on=practice.based_on,
            )
        )
    rules = under_practice(scheme, practice) if practice else scheme
    counting = counting_on(history, on)
    case = Case(rules, level, counting, _granted(counting, rules, level), revisions)
    rows = tuple(_rows(case))
    return Standing(
        person=history.person,
        scheme=rules,
        level=level,
        route=_route(case),
        on=on,
        practice=practice,
        prerequisites=rows,
        overall=overall(row.verdict for row in rows),
        remarks=(*remarks, *_remarks(case, practice)),
        unverified=tuple((item.entry.id, item.why) for item in counting.unverified),
    )


def overall(verdicts: Iterable[Verdict]) -> Verdict:
    """Return the verdict over several: not met before expired before met."""
    all_verdicts = set(verdicts)
    for worst in (Verdict.NOT_MET, Verdict.EXPIRED):
        if worst in all_verdicts:
            return worst
    return Verdict.MET


def _practice(
    history: History, scheme: Scheme, given: WrittenPractice | None
) -> tuple[WrittenPractice | None, list[str]]:
    """Return the written practice that applies, and a remark on one that is left aside."""
    if given is not None or history.practice is None:
        return given, []
    base = based_on(history.practice, history.name)
    if base != scheme.id:
        return None, [_("The written practice in the file builds on %(base)s and is left aside.", base=base)]
    return read_practice(history.practice, scheme, history.name), []


def _granted(counting: Counting, scheme: Scheme, level: Level) -> date | None:
    if level is Level.I or not scheme.routes:
        return None
    certificates = certificates_of(counting, scheme, Level.I)
    return certificates[0].first if certificates else None


def _route(case: Case) -> str:
    if case.level is Level.I:
        return _("first certification")
    if not case.scheme.routes:
        return _("one set of figures")
    return (
        _("direct") if case.granted is None else _("via Level I, granted %(granted)s", granted=case.granted)
    )


def _rows(case: Case) -> Iterator[Row]:
    """Yield the rows in the order of the history format, section 7."""
    walk = walk_initial(case)
    yield from training_rows(case)
    yield from experience_rows(case)
    yield from examination_rows(case, walk)
    yield from vision_rows(case, walk.first)
    yield from training_before_rows(case, walk.first)
    yield from results_rows(case, walk)
    yield from certificate_rows(case)
    yield from absence_rows(case)
    yield from reinstatement_rows(case)


def _remarks(case: Case, practice: WrittenPractice | None) -> Iterator[str]:
    if practice is not None:
        yield _(
            "Judged by the employer's written practice, %(cited)s, based on %(based_on)s.",
            cited=practice.cited,
            based_on=practice.based_on,
        )
        if case.on < practice.in_force:
            yield _("That revision came into force after the day asked, %(on)s.", on=case.on)
    if case.revisions is not None and any(one.in_force <= case.on for one in case.revisions.practices):
        yield (
            _(
                "Each examination, vision check and certificate is judged by the rules in force on "
                "its own day; before the first revision by the published edition."
            )
        )
    if case.counting.person is None:
        yield _(
            "The history names no person, so a countersignature by the person concerned cannot be noticed."
        )
    for what in case.scheme.not_judged:
        yield _("Not judged: %(what)s.", what=what)
    for entry in case.counting.later:
        yield _("%(id)s is not over by %(on)s and does not count yet.", id=entry.id, on=case.on)
    for entry in case.counting.reversed:
        yield _("%(id)s was reversed and does not count.", id=entry.id)
