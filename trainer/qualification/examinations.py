"""The rows of the examinations: each part, each specimen, the composite, the retest, the age of results."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

from trainer.qualification.days import plus_years
from trainer.qualification.entries import PARTS, Certificate, Examination, Level, Marks
from trainer.qualification.rows import Case, Row, Verdict, day_row, number_row
from trainer.qualification.sittings import (
    NO_INSTRUCTION,
    Grade,
    Retest,
    Walk,
    composite,
    shortfall,
    walk_recertification,
)
from trainer.qualification.words import amount, number_text


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
        yield _retest_row("retest", walk.retests[-1], case, key)
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
    says = f"the results of {last} are usable until {until}"
    yield day_row(
        "exam_results_current",
        Verdict.MET if met else Verdict.EXPIRED,
        rules.figure("results.years"),
        says=[says, *_used(used)],
        until=until,
        missing="the results ran out before a certificate was granted: the examination must be taken again",
        entries=[grade.sitting.id for grade in walk.grades.values()],
    )


def _used(certificates: list[Certificate]) -> Iterator[str]:
    if certificates:
        yield f"a certificate was granted on them on {certificates[0].first} ({certificates[0].id})"


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
        what=f"{part} part" if grade is None else f"{part} part of {grade.day} ({grade.sitting.id})",
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
        return f"shortest way: sit the {part} part of Level {case.level}, entered and countersigned"
    days, months = case.scheme.count("retest.days"), case.scheme.count("retest.months")
    wait = f"{days} days" if days is not None else f"{months} month{'s' if months != 1 else ''}"
    waived = " or after training set by the Level III" if case.scheme.flag("retest.waiver") else ""
    return f"shortest way: a retest of the {part} part, {wait} or more after {grade.day}{waived}"


def _part_notes(case: Case, walk: Walk, part: str) -> Iterator[str]:
    for retest in walk.retests:
        if retest.sitting.part == part and not retest.counts:
            yield f"the retest of {retest.sitting.first} ({retest.sitting.id}) is not accepted: {_why(retest)}"
    for sitting in walk.void.get(part, []):
        short = shortfall(sitting, case.rules_on(sitting.first))
        if short is not None:
            yield f"{sitting.id} is void: {short.have} of {short.need} {short.unit}"
    for entry, why in case.counting.waiting(Examination):
        if entry.part == part and entry.level == case.level and entry.purpose == "initial":
            yield f"the sitting of {entry.first} ({entry.id}) is unverified: {why}"


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
        what=f"the paper of {sitting.first} ({sitting.id}) is void, its {short.unit}",
        missing=f"shortest way: sit a paper with at least {short.need} {short.unit}",
        entries=[sitting.id],
    )


def _specimen_rows(case: Case, grade: Grade | None) -> Iterator[Row]:
    if grade is None or case.rules_on(grade.day).word("practical.judged") != "each":
        return
    for number, marks in enumerate(grade.sitting.specimens, 1):
        name = f"specimen {marks.specimen or number}"
        yield _marks_row(case, f"practical_specimen_{number}", marks, name, grade)
    if case.level is Level.II:
        instruction = grade.sitting.instruction or NO_INSTRUCTION
        yield _marks_row(case, "practical_instruction", instruction, "written instruction", grade)


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
        what=f"{name} of {grade.day} ({grade.sitting.id}), {number_text(mark)} % of {number_text(marks.of)} marks",
        missing="each specimen and the instruction must reach its mark by itself: a retest of the practical part",
        entries=[grade.sitting.id],
    )


def _composite_row(case: Case, walk: Walk) -> Row:
    lacking = [part for part in PARTS if part not in walk.grades]
    rules = case.scheme if lacking else case.rules_on(max(grade.day for grade in walk.grades.values()))
    figure = rules.figure("composite.pass")
    assert isinstance(figure.value, Fraction)
    average = composite(walk.grades, rules)
    if lacking:
        missing = f"no composite without the {' and the '.join(lacking)} part"
    else:
        lift = (figure.value - (average or 0)) * sum(rules.weights)
        missing = (
            f"shortest way: retest parts so that their weighted grades rise by {amount(lift, 'pct')} in sum"
        )
    weights = rules.figures.get("weights")
    return number_row(
        "composite",
        average,
        figure.value,
        "pct",
        figure,
        what="composite grade, the mean of the three parts"
        if weights is None or weights.value == "equal"
        else f"composite grade, weighted {weights.value}",
        missing=missing,
        notes=["no grade is rounded up"] if average is not None and average < figure.value else [],
        entries=[walk.grades[part].sitting.id for part in PARTS if part in walk.grades],
        beside=[weights],
    )


def _retest_row(identity: str, retest: Retest, case: Case, key: str) -> Row:
    rules = case.rules_on(retest.sitting.first)
    figure, stem = rules.figure(key), key.partition(".")[0]
    have = (retest.sitting.first - retest.day_0).days
    need = 0 if retest.waived_by else (retest.earliest - retest.day_0).days
    further = {"earliest": retest.earliest}
    if retest.latest is not None:
        further["latest"] = retest.latest
    row = number_row(
        identity,
        Fraction(have),
        Fraction(need),
        "days",
        figure,
        what=f"retest of the {retest.sitting.part} part on {retest.sitting.first} ({retest.sitting.id}), "
        f"waited from {retest.day_0}",
        notes=[_why(retest)],
        entries=[retest.sitting.id, *([retest.waived_by] if retest.waived_by else [])],
        beside=[rules.figures.get(f"{stem}.{limit}") for limit in ("most", "years", "waiver")],
    )
    verdict = Verdict.MET if retest.counts else Verdict.NOT_MET
    missing = "" if retest.counts else _again(retest)
    return Row(
        identity,
        verdict,
        row.clause,
        f"{row.says} {missing}".strip(),
        row.have,
        row.need,
        row.unit,
        missing=missing,
        entries=row.entries,
        unconfirmed=row.unconfirmed,
        further=dict(further),
    )


def _again(retest: Retest) -> str:
    if retest.too_many or retest.too_late:
        return "No retest of this series is left: the certification body says how to begin anew."
    return f"Shortest way: sit it again from {retest.earliest} on."


def _why(retest: Retest) -> str:
    if retest.too_many:
        return "the two retests of this series are used up"
    if retest.too_late:
        return f"it came after {retest.latest}, the last day of this series"
    if retest.too_early:
        return f"it came too early: the earliest day was {retest.earliest}"
    if retest.waived_by:
        return f"the wait was waived by the Level III's training in {retest.waived_by}"
    return "it counts"


def _recertification_rows(case: Case) -> Iterator[Row]:
    walk = walk_recertification(case)
    if walk.first is None:
        return
    yield _part_row(case, walk, "recert_practical", "practical")
    if walk.retests:
        yield _retest_row("recert_retest", walk.retests[-1], case, "recertification.days")
