"""What a written practice may override, under which names, and how far.

The table is the house's own (history format, section 9): under a recommended practice any value, under
a standard only a stricter one, and the age of results as the certification body says.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from fractions import Fraction

from trainer.languages import _
from trainer.qualification.entries import PARTS, Level
from trainer.qualification.reading.fields import Fields, quoted
from trainer.qualification.scheme import Scheme
from trainer.qualification.words import number_text

Value = Fraction | str | tuple[Fraction, Fraction, Fraction]


@dataclass(frozen=True, slots=True)
class Rule:
    """How a key may be replaced: ``stricter`` is more, fewer or free; ``most`` the largest sensible value."""

    unit: str
    stricter: str
    whole: bool = False
    most: int = 100_000
    least: int = 0


_HOURS, _PERCENT = Rule("", "more"), Rule("pct", "more", most=100)
_COUNT = Rule("n", "more", whole=True, most=10_000)
_MONTHS, _YEARS = (Rule(unit, "fewer", True, 1200, 1) for unit in ("months", "years"))
RULES: dict[str, Rule] = {
    **{
        f"{key}.{level}": _HOURS
        for key in ("training", "experience_method", "experience_total")
        for level in Level
    },
    **{f"{key}.pass": _PERCENT for key in (*PARTS, "composite")},
    "general.questions": _COUNT,
    "specific.questions": _COUNT,
    "practical.specimens": _COUNT,
    "practical.checkpoints": _COUNT,
    "weights": Rule("", "free"),
    "retest.days": Rule("days", "more", True, 36_500),
    "vision_near.months": _MONTHS,
    "vision_near.chart": Rule("", "more"),
    "vision_colour.years": _YEARS,
    "certificate.years": _YEARS,
    "rehire.months": replace(_MONTHS, least=0),
    "results.years": replace(_YEARS, stricter="free"),
    "interruption.months": _MONTHS,
    "laboratory.percent": Rule("pct", "free", most=100),
    "education.reduction_percent": Rule("pct", "free", most=100),
}


@dataclass(frozen=True, slots=True)
class Override:
    """One figure replaced, with the reason."""

    key: str
    value: Value
    reason: str


def read_overrides(fields: Fields, scheme: Scheme) -> Iterator[Override]:
    """Read the overrides of a written practice; raises Amiss for one that is unknown, unreasoned or laxer."""
    node = fields.get("overrides")
    overrides = Fields(node, "overrides")
    known = sorted(overridable(scheme))
    for key in overrides.node.pairs:
        if key not in known:
            says = _("write %(keys)s", keys=", ".join(known)) if known else _("this scheme takes no override")
            raise overrides.amiss(
                key,
                _(
                    "%(key)s cannot be overridden in %(id)s; %(says)s",
                    key=quoted(key),
                    id=scheme.id,
                    says=says,
                ),
            )
        inner = Fields(overrides.get(key), key)
        inner.only(("value", "reason"))
        value = _value(key, inner, scheme)
        if not inner.has("reason"):
            raise overrides.amiss(
                key, _("%(key)s has no reason; write {value: ..., reason: why}", key=quoted(key))
            )
        yield Override(key, value, inner.text("reason"))


def overridable(scheme: Scheme) -> list[str]:
    """Return the keys that a written practice on a scheme may set, in the order of the table."""
    return [key for key in RULES if _known(key, scheme)]


def _known(key: str, scheme: Scheme) -> bool:
    """Say whether a scheme has the row that a key changes."""
    anything = scheme.overrides == "any"
    if scheme.overrides == "none":
        return False
    if key in ("weights", "laboratory.percent"):
        return anything and scheme.holds("composite.pass")
    if key == "education.reduction_percent":
        return scheme.holds("education.reduction_most") or (
            anything and scheme.holds("training.I") and not scheme.holds("training_educated.I")
        )
    if key == "interruption.months":
        return scheme.holds(key) or (anything and scheme.holds("certificate.years"))
    if key == "vision_colour.years":
        return scheme.holds(key) or scheme.holds("vision_colour.once")
    if key.endswith((".questions", ".specimens", ".checkpoints")):
        return scheme.holds("general.pass")
    return scheme.holds(key)


def _value(key: str, fields: Fields, scheme: Scheme) -> Value:
    if key == "weights":
        return _weights(fields)
    if key == "vision_near.chart":
        chart = fields.choice("value", ("jaeger_1", "jaeger_2"))
        if scheme.overrides != "any" and chart == "jaeger_2" and scheme.word(key) == "jaeger_1":
            raise fields.amiss(
                "value", _("jaeger_2 is coarser than %(id)s allows; write jaeger_1", id=scheme.id)
            )
        return chart
    rule = RULES[key]
    value = Fraction(fields.whole("value", rule.least)) if rule.whole else fields.decimal("value")
    if value > rule.most:
        raise fields.amiss(
            "value", _("%(key)s cannot be above %(most)s; write a smaller value", key=key, most=rule.most)
        )
    _refuse_laxer(key, value, fields, scheme)
    return value


def _refuse_laxer(key: str, value: Fraction, fields: Fields, scheme: Scheme) -> None:
    most = scheme.number("education.reduction_most")
    if key == "education.reduction_percent" and most is not None and value > most:
        raise fields.amiss(
            "value",
            _(
                "%(id)s allows a reduction of %(most)s %% at most; write less",
                id=scheme.id,
                most=number_text(most),
            ),
        )
    if scheme.overrides == "any":
        return
    rule = RULES[key]
    bases = [base for name in figure_keys(key) if (base := scheme.number(name)) is not None]
    if rule.stricter == "more" and bases and value < max(bases):
        raise fields.amiss(
            "value",
            _(
                "%(key)s is laxer than %(id)s allows; write %(limit)s or more",
                key=key,
                id=scheme.id,
                limit=number_text(max(bases)),
            ),
        )
    if rule.stricter == "fewer" and bases and value > min(bases):
        raise fields.amiss(
            "value",
            _(
                "%(key)s is laxer than %(id)s allows; write %(limit)s or less",
                key=key,
                id=scheme.id,
                limit=number_text(min(bases)),
            ),
        )


def _weights(fields: Fields) -> tuple[Fraction, Fraction, Fraction]:
    inner = Fields(fields.get("value"), "weights")
    inner.only(PARTS)
    general, specific, practical = (inner.decimal(part) for part in PARTS)
    if general + specific + practical == 0:
        raise fields.amiss(
            "value", _("weights add up to 0; write for example {general: 1, specific: 1, practical: 2}")
        )
    return general, specific, practical


def figure_keys(key: str) -> tuple[str, ...]:
    """Return the figures of a scheme that a key replaces."""
    return ("practical.specimens.I", "practical.specimens.II") if key == "practical.specimens" else (key,)


def value_text(value: Value) -> str:
    """Write a value for a person."""
    if isinstance(value, tuple):
        return ", ".join(f"{part} {number_text(weight)}" for part, weight in zip(PARTS, value, strict=True))
    return value if isinstance(value, str) else number_text(value)
