"""Ledger entries in the reader's words: their kinds, the names of their fields, what may be chosen for one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from trainer.languages import N_, NP_, _, pgettext

KIND_WORDS = {
    "training": N_("Training"),
    "practice": N_("Own study"),
    "experience": N_("Experience"),
    "work": N_("Proof of work"),
    "examination": N_("Examination"),
    "vision": N_("Vision check"),
    "certificate": N_("Certificate"),
    "employment": N_("Employment"),
    "absence": N_("Absence"),
    "education": N_("Education"),
    "application": N_("Application"),
    "decision": N_("Decision"),
    "reversal": N_("Reversal"),
}
LABELS = {
    "about": NP_("entry", "about"),
    "administered_by": NP_("entry", "administered by"),
    "chart": NP_("entry", "chart"),
    "checkpoints": NP_("entry", "checkpoints"),
    "completed_years": NP_("entry", "completed years"),
    "content": NP_("entry", "content"),
    "content_tracked": NP_("entry", "content tracked"),
    "corrected": NP_("entry", "corrected"),
    "distance_cm": NP_("entry", "distance, cm"),
    "employer": NP_("entry", "employer"),
    "event": NP_("entry", "event"),
    "evidence": NP_("entry", "evidence"),
    "examination": NP_("entry", "examination"),
    "eyes": NP_("entry", "eyes"),
    "field": NP_("entry", "field of study"),
    "hours": NP_("entry", "hours"),
    "hours_each": NP_("entry", "hours a shift"),
    "hours_tracked": NP_("entry", "hours tracked"),
    "instruction": NP_("entry", "instruction"),
    "level": NP_("entry", "level"),
    "level_held": NP_("entry", "level held"),
    "marks": NP_("entry", "marks"),
    "method": NP_("entry", "method"),
    "methods": NP_("entry", "methods"),
    "mode": NP_("entry", "mode"),
    "nature": NP_("entry", "nature"),
    "note": NP_("entry", "note"),
    "number": NP_("entry", "number"),
    "of": NP_("entry", "out of"),
    "outline": NP_("entry", "outline"),
    "paper": NP_("entry", "paper"),
    "part": NP_("entry", "part"),
    "percent": NP_("entry", "percent"),
    "purpose": NP_("entry", "purpose"),
    "reason": NP_("entry", "reason"),
    "records_kept": NP_("entry", "records kept"),
    "remedial_for": NP_("entry", "remedial for"),
    "restriction": NP_("entry", "restriction"),
    "result": NP_("entry", "result"),
    "reverses": NP_("entry", "reverses"),
    "right": NP_("entry", "right"),
    "scheme": NP_("entry", "scheme"),
    "scope": NP_("entry", "scope"),
    "shifts": NP_("entry", "shifts"),
    "site": NP_("entry", "site"),
    "specimen": NP_("entry", "specimen"),
    "specimens": NP_("entry", "specimens"),
    "split": NP_("entry", "split"),
    "start": NP_("entry", "start"),
    "task": NP_("entry", "task"),
    "test": NP_("entry", "test"),
    "until": NP_("entry", "until"),
    "what": NP_("entry", "what"),
}
CHOSEN = {
    "mode": (
        NP_("mode", "classroom"),
        NP_("mode", "laboratory"),
        NP_("mode", "virtual"),
        NP_("mode", "computer"),
        NP_("mode", "web"),
    ),
    "content": (NP_("content", "theory"), NP_("content", "practical")),
    "examination": (NP_("examination", "none"), NP_("examination", "passed"), NP_("examination", "failed")),
    "nature": (NP_("nature", "job"), NP_("nature", "laboratory")),
    "part": (NP_("part", "general"), NP_("part", "specific"), NP_("part", "practical")),
    "purpose": (NP_("purpose", "initial"), NP_("purpose", "recertification")),
    "test": (NP_("test", "near"), NP_("test", "colour")),
    "result": (NP_("result", "pass"), NP_("result", "fail"), NP_("result", "restricted")),
    "event": (NP_("event", "began"), NP_("event", "ended"), NP_("event", "rehired")),
    "reason": (
        NP_("reason", "holiday"),
        NP_("reason", "sickness"),
        NP_("reason", "course"),
        NP_("reason", "other"),
    ),
    "field": (NP_("field", "engineering"), NP_("field", "science"), NP_("field", "other")),
}
"""The words that may be chosen for a field of an entry; kept in English, and said of the field they stand in."""
CODES = {"jaeger_1": "Jaeger 1", "jaeger_2": "Jaeger 2", "n4.5": "N4.5", "iso_18490": "ISO 18490"}
LEFT_OUT = frozenset(
    {"id", "kind", "date", "from", "to", "entered_by", "countersigned_by", "previous", "hash"}
)


def facts(body: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The fields of an entry but its days and hands, as labels and words."""
    return [(label(name), _said(value, name)) for name, value in body.items() if name not in LEFT_OUT]


def line(body: Mapping[str, Any]) -> str:
    """The same in one line."""
    return ", ".join(f"{label} {value}" for label, value in facts(body))


def label(name: str) -> str:
    """What a field of an entry is called; a name that is no field of ours stays."""
    plain = LABELS.get(name, name.replace("_", " "))
    return pgettext("entry", plain) if name in LABELS else plain


def _said(value: Any, name: str = "") -> str:
    """A value in words; only words of ours are translated, never what somebody wrote."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dict):
        return ", ".join(_named(str(part), one) for part, one in value.items())
    if isinstance(value, list):
        return "; ".join(_said(one, name) for one in value)
    told = CODES.get(str(value), str(value))
    return pgettext(name, told) if told in CHOSEN.get(name, ()) else told


def _named(name: str, value: Any) -> str:
    """A part of an entry with its label; the name of a specimen stands for itself."""
    return _said(value) if name == "specimen" else f"{label(name)} {_said(value, name)}"
