"""The employer's written practice: which figures of an edition it replaces, why, and who approved it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from fractions import Fraction

from trainer.errors import Fault
from trainer.languages import _
from trainer.qualification.entries import Level, Signature
from trainer.qualification.overrides import RULES, Override, figure_keys, read_overrides, value_text
from trainer.qualification.reading.fields import Amiss, Fields, quoted
from trainer.qualification.reading.history import FaultyHistory
from trainer.qualification.reading.notation import Branch, read_written
from trainer.qualification.scheme import Figure, Scheme


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
        return _(
            "revision %(revision)s, in force %(in_force)s", revision=self.revision, in_force=self.in_force
        )


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
        fields = Fields(node, _("a written practice"))
        fields.only(("based_on", "revision", "in_force", "approved_by", "overrides"))
        approved = fields.signature("approved_by")
        if approved.role != "level_iii":
            raise fields.amiss(
                "approved_by", _("a written practice is approved by the Level III; write role: level_iii")
            )
        return WrittenPractice(
            fields.text("based_on"),
            fields.text("revision"),
            fields.day("in_force"),
            approved,
            tuple(read_overrides(fields, scheme)),
        )
    except Amiss as amiss:
        fault = Fault(name, amiss.line, amiss.column, f"written_practice: {amiss.says}")
        raise FaultyHistory([fault]) from None


def based_on(node: Branch, name: str) -> str:
    """Return the id of the scheme on which a written practice builds, reading nothing else of it."""
    try:
        return Fields(node, _("a written practice")).text("based_on")
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
            [Fault(name, 1, 1, _("a written practice is a mapping with based_on and overrides"))]
        )
    identity = based_on(written.root, name)
    if identity not in schemes:
        line, column = written.root.places["based_on"]
        says = f"written_practice: scheme {quoted(identity)} is not known; write {', '.join(sorted(schemes))}"
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
        for key in figure_keys(override.key):
            changed[key] = _figure(key, override, practice, scheme)
    # A figure of training that the employer sets holds in both education columns.
    for level in Level:
        if f"training.{level}" in changed and scheme.holds(f"training_educated.{level}"):
            changed[f"training_educated.{level}"] = changed[f"training.{level}"]
    for name in ("training", "training_educated", "experience_method", "experience_total"):
        if f"{name}.I" in changed or f"{name}.II" in changed:
            changed.update(_direct(name, scheme, changed))
    # What the edition leaves to the employer is judged once the employer has set its figure.
    left = tuple(what for what in scheme.not_judged if not any(key in what for key in changed))
    return replace(scheme.with_figures(changed), weights=weights, practice=practice.cited, not_judged=left)


def differences(scheme: Scheme, practice: WrittenPractice) -> list[Difference]:
    """List what the written practice changes against the published edition."""
    return [
        Difference(
            override.key,
            scheme.figures.get(figure_keys(override.key)[0]),
            value_text(override.value),
            override.reason,
        )
        for override in practice.overrides
    ]


def _figure(key: str, override: Override, practice: WrittenPractice, scheme: Scheme) -> Figure:
    published = scheme.figures.get(key)
    value = override.value if not isinstance(override.value, tuple) else value_text(override.value)
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
