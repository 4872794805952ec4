"""The rows of the examinations: each part, each specimen, the composite, the retest, the age of results."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from trainer.languages import N_, _
from trainer.qualification.days import plus_years
from trainer.qualification.entries import PARTS, Certificate, Examination, Level, Marks
from trainer.qualification.retests import PART_WORDS, how_it_counts, retest_row
from trainer.qualification.rows import Case, Row, Verdict, day_row, number_row
from trainer.qualification.sittings import (
    NO_INSTRUCTION,
    Grade,
    Walk,
    composite,
    shortfall,
    walk_recertification,
)
from trainer.qualification.words import amount, number_text, unit_words


def examination_rows(case: Case, walk: Walk) -> Iterator[Row]:
    """Judge the parts, the specimens, the composite, the retests and the recertification."""
    if not case.scheme.holds("general.pass"):
        return
    for part in PARTS:
        yield _part_row(case, walk, part, part)
    yield from _specimen_rows(case, walk.grades.get("practical"))
    if case.scheme.holds("composite.pass"):
        yield _composite_row(case, walk)
    if walk.retests:
        key = "retest.days" if case.scheme.holds("retest.days") else "retest.months"
        yield retest_row("retest", walk.retests[-1], case, key)
    if case.scheme.holds("recertification.days"):
        yield from _recertification_rows(case)


def results_rows(case: Case, walk: Walk) -> Iterator[Row]:
    """Judge whether passed examinations can still be used, where a scheme limits their age."""
    if len(walk.grades) < len(PARTS) or not all(g.passed for g in walk.grades.values()):
        return
    last = max(grade.day for grade in walk.grades.values())
    rules = case.rules_on(last)
    years = rules.count("results.years")
    if years is None:
        return
    until = plus_years(last, years)
    used = [entry for entry in case.certificates() if last <= entry.first <= until]
    met = case.on <= until or bool(used)
    says = _("the results of %(last)s are usable until %(until)s", last=last, until=until)
    yield day_row(
        "exam_results_current",
        Verdict.MET if met else Verdict.EXPIRED,
        rules.figure("results.years"),
        says=[says, *_used(used)],
        until=until,
        missing=_(
            "the results ran out before a certificate was granted: the examination must be taken again"
        ),
        entries=[grade.sitting.id for grade in walk.grades.values()],
    )


def _used(certificates: list[Certificate]) -> Iterator[str]:
    if certificates:
        yield _(
            "a certificate was granted on them on %(first)s (%(id)s)",
            first=certificates[0].first,
            id=certificates[0].id,
        )


def _part_row(case: Case, walk: Walk, identity: str, part: str) -> Row:
    grade, void = walk.grades.get(part), walk.void.get(part, [])
    if grade is None and void:
        return _void_row(case, identity, void[-1])
    rules = case.rules_on(grade.day) if grade else case.scheme
    figure = rules.figure(f"{part}.pass")
    assert isinstance(figure.value, Fraction)
    return number_row(
        identity,
        grade.percent if grade else None,
        figure.value,
        "pct",
        figure,
        what=_(PART_WORDS[part])
        if grade is None
        else _("%(part)s of %(day)s (%(id)s)", part=_(PART_WORDS[part]), day=grade.day, id=grade.sitting.id),
        missing=_part_missing(case, part, grade),
        notes=_part_notes(case, walk, part),
        entries=[grade.sitting.id] if grade else [],
        beside=[rules.figures.get(key) for key in _length_keys(case, part)],
    )


def _length_keys(case: Case, part: str) -> tuple[str, ...]:
    """Name the figures that decide whether a paper of the part is void."""
    if part != "practical":
        return (f"{part}.questions",)
    return (f"practical.specimens.{case.level}", "practical.checkpoints", "practical.judged")


def _part_missing(case: Case, part: str, grade: Grade | None) -> str:
    if grade is None:
        return _(
            "shortest way: sit the %(part)s of Level %(level)s, entered and countersigned",
            part=_(PART_WORDS[part]),
            level=case.level,
        )
    days, months = case.scheme.count("retest.days"), case.scheme.count("retest.months")
    wait = f"{days} {unit_words('days')}" if days is not None else amount(Fraction(months or 0), "months")
    told = {"part": _(PART_WORDS[part]), "wait": wait, "day": grade.day}
    if case.scheme.flag("retest.waiver"):
        return _(
            "shortest way: a retest of the %(part)s, %(wait)s or more after %(day)s "
            "or after training set by the Level III",
            **told,
        )
    return _("shortest way: a retest of the %(part)s, %(wait)s or more after %(day)s", **told)


def _part_notes(case: Case, walk: Walk, part: str) -> Iterator[str]:
    for retest in walk.retests:
        if retest.sitting.part == part and not retest.counts:
            yield _(
                "the retest of %(first)s (%(id)s) is not accepted: %(why)s",
                first=retest.sitting.first,
                id=retest.sitting.id,
                why=how_it_counts(retest),
            )
    for sitting in walk.void.get(part, []):
        short = shortfall(sitting, case.rules_on(sitting.first))
        if short is not None:
            yield _(
                "%(id)s is void: %(have)s of %(need)s %(unit)s",
                id=sitting.id,
                have=short.have,
                need=short.need,
                unit=unit_words(short.unit),
            )
    for entry, why in case.counting.waiting(Examination):
        if entry.part == part and entry.level == case.level and entry.purpose == "initial":
            yield _(
                "the sitting of %(first)s (%(id)s) is unverified: %(why)s",
                first=entry.first,
                id=entry.id,
                why=why,
            )


def _void_row(case: Case, identity: str, sitting: Examination) -> Row:
    rules = case.rules_on(sitting.first)
    short = shortfall(sitting, rules)
    assert short is not None
    return number_row(
        identity,
        Fraction(short.have),
        Fraction(short.need),
        short.unit,
        rules.figure(short.key),
        what=_(
            "the paper of %(first)s (%(id)s) is void, its %(unit)s",
            first=sitting.first,
            id=sitting.id,
            unit=unit_words(short.unit),
        ),
        missing=_(
            "shortest way: sit a paper with at least %(need)s %(unit)s",
            need=short.need,
            unit=unit_words(short.unit),
        ),
        entries=[sitting.id],
    )


def _specimen_rows(case: Case, grade: Grade | None) -> Iterator[Row]:
    if grade is None or case.rules_on(grade.day).word("practical.judged") != "each":
        return
    for number, marks in enumerate(grade.sitting.specimens, 1):
        name = _("specimen %(name)s", name=marks.specimen or number)
        yield _marks_row(case, f"practical_specimen_{number}", marks, name, grade)
    if case.level is Level.II:
        instruction = grade.sitting.instruction or NO_INSTRUCTION
        yield _marks_row(case, "practical_instruction", instruction, _("written instruction"), grade)


def _marks_row(case: Case, identity: str, marks: Marks, name: str, grade: Grade) -> Row:
    rules = case.rules_on(grade.day)
    figure, mark = rules.figure("practical.judged"), rules.number("practical.pass")
    assert mark is not None
    return number_row(
        identity,
        marks.marks,
        mark * marks.of / 100,
        "marks",
        figure,
        what=_(
            "%(name)s of %(day)s (%(id)s), %(mark)s %% of %(of)s marks",
            name=name,
            day=grade.day,
            id=grade.sitting.id,
            mark=number_text(mark),
            of=number_text(marks.of),
        ),
        missing=_(
            "each specimen and the instruction must reach its mark by itself: a retest of the practical part"
        ),
        entries=[grade.sitting.id],
    )


def _composite_row(case: Case, walk: Walk) -> Row:
    lacking = [part for part in PARTS if part not in walk.grades]
    rules = case.scheme if lacking else case.rules_on(max(grade.day for grade in walk.grades.values()))
    figure = rules.figure("composite.pass")
    assert isinstance(figure.value, Fraction)
    average = composite(walk.grades, rules)
    if average is None:
        missing = _("no composite without the %(parts)s", parts=_lacking_words(lacking))
    else:
        lift = (figure.value - average) * sum(rules.weights)
        missing = _(
            "shortest way: retest parts so that their weighted grades rise by %(lift)s in sum",
            lift=amount(lift, "pct"),
        )
    weights = rules.figures.get("weights")
    return number_row(
        "composite",
        average,
        figure.value,
        "pct",
        figure,
        what=_("composite grade, the mean of the three parts")
        if weights is None or weights.value == "equal"
        else _("composite grade, weighted %(value)s", value=weights.value),
        missing=missing,
        notes=[_("no grade is rounded up")] if average is not None and average < figure.value else [],
        entries=[walk.grades[part].sitting.id for part in PARTS if part in walk.grades],
        beside=[weights],
    )


def _lacking_words(parts: list[str]) -> str:
    """Name the parts without which there is no composite grade."""
    if len(parts) == 3:
        return _("general and the specific and the practical part")
    both = {
        ("general", "specific"): N_("general and the specific part"),
        ("general", "practical"): N_("general and the practical part"),
        ("specific", "practical"): N_("specific and the practical part"),
    }
    return _(both[parts[0], parts[1]]) if len(parts) == 2 else _(PART_WORDS[parts[0]])


def _recertification_rows(case: Case) -> Iterator[Row]:
    walk = walk_recertification(case)
    if walk.first is None:
        return
    yield _part_row(case, walk, "recert_practical", "practical")
    if walk.retests:
        yield retest_row("recert_retest", walk.retests[-1], case, "recertification.days")
