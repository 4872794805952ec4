"""Training: which hours count, how many are needed, and what is missing."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from fractions import Fraction

from trainer.languages import _
from trainer.qualification.counting import in_words
from trainer.qualification.entries import Education, Level, Practice, Training
from trainer.qualification.rows import METHOD, Case, Row, number_row
from trainer.qualification.scheme import Figure
from trainer.qualification.words import ids, number_text

FIELDS_OF_STUDY = ("engineering", "science")
YEARS_OF_STUDY = 2


def training_rows(case: Case) -> Iterator[Row]:
    """Judge the hours of training, and the practical share where a scheme limits it."""
    figure = case.figure("training")
    if figure is None:
        return
    counted = counted_training(case)
    need, need_figure, why = training_need(case, figure)
    have = _hours(counted) / case.scheme.hours_in(figure.unit)
    yield number_row(
        "training",
        have,
        need,
        figure.unit,
        need_figure,
        what=_("training in %(method)s", method=METHOD),
        missing=_missing(case, counted, need, figure),
        notes=[*why, *_notes(case)],
        entries=[entry.id for entry in counted],
    )
    if case.scheme.holds("training.practical_most"):
        yield _share_row(case, counted)


def training_before_rows(case: Case, first_sitting: date | None) -> Iterator[Row]:
    """Judge whether the training was complete by the day of the first sitting, where the order matters."""
    figure = case.figure("training")
    if figure is None or first_sitting is None or not case.scheme.flag("before_examination"):
        return
    counted = [entry for entry in counted_training(case) if (entry.last or entry.first) <= first_sitting]
    need, _figure, _why = training_need(case, figure)
    yield number_row(
        "training_before_exam",
        _hours(counted) / case.scheme.hours_in(figure.unit),
        need,
        figure.unit,
        case.scheme.figure("before_examination"),
        what=_("training complete by the first sitting on %(day)s", day=first_sitting),
        missing=_("the training comes before the examination: complete it and sit the parts after it"),
        entries=[entry.id for entry in counted],
    )


def counted_training(case: Case) -> list[Training]:
    """Return the training entries that count for the level and route."""
    return [entry for entry in case.counting.of(Training) if why_not_training(entry, case) is None]


def why_not_training(entry: Training, case: Case) -> str | None:
    """Say why a verified training entry does not count; none if it does."""
    if entry.method != METHOD:
        return _("it is training in %(method)s", method=entry.method)
    if entry.remedial_for is not None:
        return _("training set for a retest does not count twice")
    if case.step == "I" and entry.level is Level.II:
        return _("it was taught to the Level II outline")
    if case.step == "II" and case.granted is not None and entry.level is not Level.II:
        return _("via Level I only training under the Level II outline counts")
    return _why_not_mode(entry, case.scheme.word("training.electronic"))


def _why_not_mode(entry: Training, rule: str | None) -> str | None:
    if rule == "tracked" and entry.mode in ("computer", "web"):
        if not (entry.hours_tracked and entry.content_tracked and entry.examination == "passed"):
            return _(
                "computer and web training counts only with hours and content tracked and an "
                "examination passed"
            )
    elif rule == "practical_in_person" and entry.content == "practical" and entry.mode in _REMOTE:
        return _("practical training counts only in person")
    return None


_REMOTE = ("virtual", "computer", "web")


def training_need(case: Case, figure: Figure) -> tuple[Fraction, Figure, list[str]]:
    """Return the training needed, the figure that decides it, and a sentence if an education lowers it."""
    assert isinstance(figure.value, Fraction)
    studied = _education(case)
    if studied is None:
        return figure.value, figure, []
    lower = case.figure("training_educated")
    if lower is not None:
        assert isinstance(lower.value, Fraction)
        return (
            lower.value,
            lower,
            [_("the shorter column holds because of the education in %(id)s", id=studied.id)],
        )
    percent = case.scheme.number("education.reduction_percent")
    if percent is None:
        return figure.value, figure, []
    why = _(
        "%(percent)s %% less is asked because of the education in %(id)s",
        percent=number_text(percent),
        id=studied.id,
    )
    reduced = figure.value * (1 - percent / 100)
    return reduced, case.scheme.figure("education.reduction_percent"), [why]


def _education(case: Case) -> Education | None:
    fitting = [
        entry
        for entry in case.counting.of(Education)
        if entry.field_of_study in FIELDS_OF_STUDY and entry.completed_years >= YEARS_OF_STUDY
    ]
    return fitting[0] if fitting else None


def _share_row(case: Case, counted: list[Training]) -> Row:
    figure = case.scheme.figure("training.practical_most")
    assert isinstance(figure.value, Fraction)
    total = _hours(counted)
    practical = _hours([entry for entry in counted if entry.content == "practical"])
    return number_row(
        "training_practical_share",
        100 * practical / total if total else None,
        figure.value,
        "pct",
        figure,
        what=_("practical share of the training"),
        missing=_share_missing(practical, total, figure.value),
        notes=[
            _(
                "%(practical)s of %(total)s h are practical; the figure asked is a maximum",
                practical=number_text(practical),
                total=number_text(total),
            )
        ],
        entries=[entry.id for entry in counted],
        most=True,
    )


def _share_missing(practical: Fraction, total: Fraction, most: Fraction) -> str:
    if not total or not most:
        return _("record the training with its content, theory or practical")
    more = 100 * practical / most - total
    return _("shortest way: %(more)s h more of theory, entered and countersigned", more=number_text(more))


def _missing(case: Case, counted: list[Training], need: Fraction, figure: Figure) -> str:
    short = need * case.scheme.hours_in(figure.unit) - _hours(counted)
    waiting = [
        entry for entry, _why in case.counting.waiting(Training) if why_not_training(entry, case) is None
    ]
    if waiting and _hours(waiting) >= short:
        which = ids(entry.id for entry in waiting)
        return _(
            "%(short)s h short; shortest way: have %(which)s countersigned by %(entitled)s",
            short=number_text(short),
            which=which,
            entitled=in_words(Training.entitled),
        )
    outline = _("the Level I outline") if case.level is Level.I else _("the Level II outline")
    return _(
        "shortest way: %(short)s h more of training in %(method)s under %(outline)s, entered "
        "by one and countersigned by another: %(entitled)s",
        short=number_text(short),
        method=METHOD,
        outline=outline,
        entitled=in_words(Training.entitled),
    )


def _notes(case: Case) -> Iterator[str]:
    for entry in case.counting.of(Training):
        why = why_not_training(entry, case)
        if why and entry.method == METHOD:
            yield _(
                "%(hours)s h of %(id)s not counted: %(why)s",
                hours=number_text(entry.hours),
                id=entry.id,
                why=why,
            )
    for waiting, why in case.counting.waiting(Training):
        if waiting.method == METHOD:
            yield _(
                "%(hours)s h of %(id)s unverified: %(why)s",
                hours=number_text(waiting.hours),
                id=waiting.id,
                why=why,
            )
    own = [entry for entry, _why in case.counting.waiting(Practice) if entry.method in (None, METHOD)]
    if own:
        hours = number_text(sum((entry.hours for entry in own), Fraction(0)))
        yield _(
            "%(hours)s h of own practice (%(entries)s) are study, not organised training",
            hours=hours,
            entries=ids(entry.id for entry in own),
        )


def _hours(entries: list[Training]) -> Fraction:
    return sum((entry.hours for entry in entries), Fraction(0))
