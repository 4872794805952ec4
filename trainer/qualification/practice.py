"""The employer's written practice: which figures of an edition it replaces, why, and who approved it.

What may be replaced is the house's reading (history format, section 9): under a recommended practice
any value, under a standard only a stricter one, and the age of results as the certification body says.
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from trainer.errors import Fault
from trainer.qualification.entries import PARTS, Level, Signature
from trainer.qualification.reading.fields import Amiss, Fields, quoted
from trainer.qualification.reading.history import FaultyHistory
from trainer.qualification.reading.notation import Branch, read_written
from trainer.qualification.scheme import Figure, Scheme
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


@dataclass(frozen=True, slots=True)
class WrittenPractice:
    """One revision of an employer's written practice, derived from one edition."""

    based_on: str
    revision: str
    in_force: date
    approved_by: Signature
    overrides: tuple[Override, ...] = ()

    @property
    def cited(self) -> str:
        """Name the revision and its date for a person."""
        return f"revision {self.revision}, in force {self.in_force}"


@dataclass(frozen=True, slots=True)
class Difference:
    """What a written practice changes: the edition's own figure (if it has one), the new value, the reason."""

    key: str
    published: Figure | None
    value: str
    reason: str


def read_practice(node: Branch, scheme: Scheme, name: str) -> WrittenPractice:
    """Read a written practice that builds on ``scheme``; raises FaultyHistory with one sentence."""
    try:
        fields = Fields(node, "a written practice")
        fields.only(("based_on", "revision", "in_force", "approved_by", "overrides"))
        approved = fields.signature("approved_by")
        if approved.role != "level_iii":
            raise fields.amiss(
                "approved_by", "a written practice is approved by the Level III; write role: level_iii"
            )
        return WrittenPractice(
            fields.text("based_on"),
            fields.text("revision"),
            fields.day("in_force"),
            approved,
            tuple(_overrides(fields, scheme)),
        )
    except Amiss as amiss:
        fault = Fault(name, amiss.line, amiss.column, f"written_practice: {amiss.says}")
        raise FaultyHistory([fault]) from None


def based_on(node: Branch, name: str) -> str:
    """Return the id of the scheme on which a written practice builds, reading nothing else of it."""
    try:
        return Fields(node, "a written practice").text("based_on")
    except Amiss as amiss:
        fault = Fault(name, amiss.line, amiss.column, f"written_practice: {amiss.says}")
        raise FaultyHistory([fault]) from None


def read_practice_file(
    source: str | bytes, name: str, schemes: Mapping[str, Scheme]
) -> tuple[Scheme, WrittenPractice]:
    """Read a written practice from a file of its own, with the scheme on which it builds."""
    written = read_written(source, name)
    if written.root is None or written.faults:
        raise FaultyHistory(written.faults)
    if not isinstance(written.root, Branch):
        raise FaultyHistory(
            [Fault(name, 1, 1, "a written practice is a mapping with based_on and overrides")]
        )
    identity = based_on(written.root, name)
    if identity not in schemes:
        line, column = written.root.places["based_on"]
        says = f"written_practice: scheme {quoted(identity)} is not known; write {_or(schemes)}"
        raise FaultyHistory([Fault(name, line, column, says)])
    scheme = schemes[identity]
    return scheme, read_practice(written.root, scheme, name)


def under_practice(scheme: Scheme, practice: WrittenPractice) -> Scheme:
    """Return the scheme with the figures that the written practice sets."""
    changed: dict[str, Figure] = {}
    weights = scheme.weights
    for override in practice.overrides:
        if isinstance(override.value, tuple):
            weights = override.value
        for key in _figure_keys(override.key):
            changed[key] = _figure(key, override, practice, scheme)
    # A figure of training that the employer sets holds in both education columns.
    for level in Level:
        if f"training.{level}" in changed and scheme.holds(f"training_educated.{level}"):
            changed[f"training_educated.{level}"] = changed[f"training.{level}"]
    for name in ("training", "training_educated", "experience_method", "experience_total"):
        if f"{name}.I" in changed or f"{name}.II" in changed:
            changed.update(_direct(name, scheme, changed))
    return replace(scheme.with_figures(changed), weights=weights, practice=practice.cited)


def differences(scheme: Scheme, practice: WrittenPractice) -> list[Difference]:
    """List what the written practice changes against the published edition."""
    return [
        Difference(
            override.key,
            scheme.figures.get(_figure_keys(override.key)[0]),
            _value_text(override.value),
            override.reason,
        )
        for override in practice.overrides
    ]


def _overrides(fields: Fields, scheme: Scheme) -> Iterator[Override]:
    node = fields.get("overrides")
    overrides = Fields(node, "overrides")
    known = sorted(key for key in RULES if _known(key, scheme))
    for key in overrides.node.pairs:
        if key not in known:
            says = f"write {_or(known)}" if known else "this scheme takes no override"
            raise overrides.amiss(key, f"{quoted(key)} cannot be overridden in {scheme.id}; {says}")
        inner = Fields(overrides.get(key), key)
        inner.only(("value", "reason"))
        value = _value(key, inner, scheme)
        if not inner.has("reason"):
            raise overrides.amiss(key, f"{quoted(key)} has no reason; write {{value: ..., reason: why}}")
        yield Override(key, value, inner.text("reason"))


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
            raise fields.amiss("value", f"jaeger_2 is coarser than {scheme.id} allows; write jaeger_1")
        return chart
    rule = RULES[key]
    value = Fraction(fields.whole("value", rule.least)) if rule.whole else fields.decimal("value")
    if value > rule.most:
        raise fields.amiss("value", f"{key} cannot be above {rule.most}; write a smaller value")
    _refuse_laxer(key, value, fields, scheme)
    return value


def _refuse_laxer(key: str, value: Fraction, fields: Fields, scheme: Scheme) -> None:
    most = scheme.number("education.reduction_most")
    if key == "education.reduction_percent" and most is not None and value > most:
        raise fields.amiss(
            "value", f"{scheme.id} allows a reduction of {number_text(most)} % at most; write less"
        )
    if scheme.overrides == "any":
        return
    rule = RULES[key]
    bases = [base for name in _figure_keys(key) if (base := scheme.number(name)) is not None]
    if rule.stricter == "more" and bases and value < max(bases):
        raise fields.amiss(
            "value", f"{key} is laxer than {scheme.id} allows; write {number_text(max(bases))} or more"
        )
    if rule.stricter == "fewer" and bases and value > min(bases):
        raise fields.amiss(
            "value", f"{key} is laxer than {scheme.id} allows; write {number_text(min(bases))} or less"
        )


def _weights(fields: Fields) -> tuple[Fraction, Fraction, Fraction]:
    inner = Fields(fields.get("value"), "weights")
    inner.only(PARTS)
    general, specific, practical = (inner.decimal(part) for part in PARTS)
    if general + specific + practical == 0:
        raise fields.amiss(
            "value", "weights add up to 0; write for example {general: 1, specific: 1, practical: 2}"
        )
    return general, specific, practical


def _figure_keys(key: str) -> tuple[str, ...]:
    return ("practical.specimens.I", "practical.specimens.II") if key == "practical.specimens" else (key,)


def _figure(key: str, override: Override, practice: WrittenPractice, scheme: Scheme) -> Figure:
    published = scheme.figures.get(key)
    value = override.value if not isinstance(override.value, tuple) else _value_text(override.value)
    return Figure(
        key=key,
        value=value,
        unit=published.unit if published else RULES[override.key].unit,
        document="written practice",
        edition=practice.cited,
        status="practice",
        confidence="high",
        note=override.reason,
    )


def _direct(name: str, scheme: Scheme, changed: Mapping[str, Figure]) -> dict[str, Figure]:
    first, second = (
        changed.get(f"{name}.{level}") or scheme.figures.get(f"{name}.{level}") for level in Level
    )
    if first is None or second is None:
        return {}
    assert isinstance(first.value, Fraction)
    assert isinstance(second.value, Fraction)
    source = first if first.status == "practice" else second
    return {f"{name}.direct": replace(source, key=f"{name}.direct", value=first.value + second.value)}


def _value_text(value: Value) -> str:
    if isinstance(value, tuple):
        return ", ".join(f"{part} {number_text(weight)}" for part, weight in zip(PARTS, value, strict=True))
    return value if isinstance(value, str) else number_text(value)


def _or(names: Collection[str]) -> str:
    return ", ".join(sorted(names))
