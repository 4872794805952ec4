"""Read entries in hours: training, own practice, experience, and proof of work."""

from __future__ import annotations

from fractions import Fraction

from trainer.languages import _
from trainer.qualification.entries import Experience, Practice, Training, Work
from trainer.qualification.reading.fields import Fields, quoted
from trainer.qualification.reading.heading import Heading, Known, span, within_days

MODES = ("classroom", "laboratory", "virtual", "computer", "web")
MINUTES = 24 * 60


def read_training(fields: Fields, heading: Heading, known: Known) -> Training:
    method, hours = fields.method("method"), fields.decimal("hours")
    within_days(fields, "hours", hours, span(heading))
    remedial = known.earlier(fields, "remedial_for") if fields.has("remedial_for") else None
    if remedial is not None and remedial.kind != "examination":
        raise fields.amiss(
            "remedial_for", _("remedial_for names %(id)s, which is no examination", id=quoted(remedial.id))
        )
    return Training(
        **heading,
        method=method,
        hours=hours,
        mode=fields.choice("mode", MODES),
        level=fields.level("level") if fields.has("level") else None,
        content=fields.choice("content", ("theory", "practical"), "theory"),
        hours_tracked=fields.flag("hours_tracked") is True,
        content_tracked=fields.flag("content_tracked") is True,
        examination=fields.choice("examination", ("passed", "failed", "none"), "none"),
        remedial_for=remedial.id if remedial else None,
    )


def read_practice(fields: Fields, heading: Heading, known: Known) -> Practice:
    hours = fields.decimal("hours")
    within_days(fields, "hours", hours, 1)
    return Practice(**heading, hours=hours, method=fields.method("method") if fields.has("method") else None)


def read_work(fields: Fields, heading: Heading, known: Known) -> Work:
    return Work(**heading, method=fields.method("method"))


def read_experience(fields: Fields, heading: Heading, known: Known) -> Experience:
    """Read work on one day, or a run of equal shifts."""
    if fields.has("method") and fields.has("methods"):
        raise fields.amiss("methods", _("write either method or methods, not both"))
    methods = fields.methods("methods", 2) if fields.has("methods") else (fields.method("method"),)
    shifts, hours_each = _shifts(fields, heading)
    nature = fields.choice("nature", ("job", "laboratory"), "job")
    return Experience(
        **heading,
        methods=methods,
        shifts=shifts,
        hours_each=hours_each,
        nature=nature,
        start=_start(fields, heading, methods, nature, hours_each) if fields.has("start") else None,
        split=_split(fields, methods, shifts * hours_each) if fields.has("split") else None,
    )


def _shifts(fields: Fields, heading: Heading) -> tuple[int, Fraction]:
    run, day = ("shifts", "hours_each"), ("hours",)
    others: tuple[str, ...] = day if heading["ranged"] else run
    for name in others:
        if fields.has(name):
            pair = _("from, to, shifts and hours_each, or date and hours")
            raise fields.amiss(
                name, _("%(name)s does not go with these days; write %(pair)s", name=quoted(name), pair=pair)
            )
    name = "hours_each" if heading["ranged"] else "hours"
    hours = fields.decimal(name)
    within_days(fields, name, hours, 1)
    if not heading["ranged"]:
        return 1, hours
    shifts = fields.whole("shifts")
    if shifts > span(heading):
        raise fields.amiss(
            "shifts",
            _(
                "%(shifts)s shifts do not fit into %(days)s days at one a day; mend one",
                shifts=shifts,
                days=span(heading),
            ),
        )
    return shifts, hours


def _start(fields: Fields, heading: Heading, methods: tuple[str, ...], nature: str, hours: Fraction) -> int:
    start = fields.clock("start")
    if heading["ranged"] or len(methods) > 1 or nature != "job":
        raise fields.amiss(
            "start", _("start goes only with date, one method and nature job; leave it out here")
        )
    if start + hours * 60 > MINUTES:
        raise fields.amiss(
            "start", _("start and hours reach past midnight; enter the part after midnight by itself")
        )
    return start


def _split(fields: Fields, methods: tuple[str, ...], hours: Fraction) -> dict[str, Fraction]:
    parts = Fields(fields.get("split"), "split")
    parts.only(methods, _("a split (which needs methods)") if len(methods) < 2 else _("this split"))
    split = {method: parts.decimal(method) for method in methods if parts.has(method)}
    total = sum(split.values(), Fraction(0))
    if total != hours:
        raise fields.amiss(
            "split",
            _(
                "the split adds up to %(total)s h, the entry holds %(hours)s h; mend one",
                total=_text(total),
                hours=_text(hours),
            ),
        )
    return split


def _text(hours: Fraction) -> str:
    return f"{float(hours):.9f}".rstrip("0").rstrip(".")
