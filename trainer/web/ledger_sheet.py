"""Ledger entries as the plain data that the templates take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from trainer.records.record import entry_days
from trainer.services.entry_plans import Planned
from trainer.services.entry_readings import Page
from trainer.services.ledger_lines import Line
from trainer.services.particulars import ROLE_WORDS
from trainer.web.days import day as day_words
from trainer.web.days import iso, moment
from trainer.web.evidencing import file_views

KIND_WORDS = {
    "training": "Training",
    "practice": "Own study",
    "experience": "Experience",
    "work": "Proof of work",
    "examination": "Examination",
    "vision": "Vision check",
    "certificate": "Certificate",
    "employment": "Employment",
    "absence": "Absence",
    "education": "Education",
    "application": "Application",
    "decision": "Decision",
    "reversal": "Reversal",
}
LABELS = {
    "of": "out of",
    "hours_each": "hours a shift",
    "field": "field of study",
    "distance_cm": "distance, cm",
}
CODES = {"jaeger_1": "Jaeger 1", "jaeger_2": "Jaeger 2", "n4.5": "N4.5", "iso_18490": "ISO 18490"}
LEFT_OUT = ("date", "from", "to")
OPEN = frozenset({"waits", "reversal waits", "refused"})


def entry_views(lines: Iterable[Line]) -> list[dict[str, Any]]:
    """Each entry with its facts, its hands and its state in words."""
    return [entry_view(line) for line in lines]


def entry_view(line: Line) -> dict[str, Any]:
    """One entry: everything that was entered stands in ``facts``, so that it can be read before signing."""
    row = line.entry
    return {
        "id": row.id,
        "kind": KIND_WORDS.get(row.kind, row.kind),
        "days": _days(row.body),
        "facts": facts(row.body),
        "line": ", ".join(f"{label} {value}" for label, value in facts(row.body)),
        "person": f"{line.person.works_number} {line.person.name}",
        "person_id": row.person_id,
        "entered": _hand(line.entered_by.name, row.entered_role),
        "entered_at": moment(row.entered_at),
        "signed": _hand(line.signed_by.name, line.signed.role) if line.signed and line.signed_by else "",
        "signed_at": moment(line.signed.signed_at) if line.signed else "",
        "state": line.state,
        "open": line.state in OPEN,
        "signers": line.signers,
        "reversal": line.reversal.id if line.reversal else "",
        "reason": str(line.reversal.body.get("reason", "")) if line.reversal else "",
        "can_be_reversed": line.reversal is None and row.kind != "reversal",
    }


def reading_views(lines: Iterable[Line], pages: Iterable[Page]) -> list[dict[str, Any]]:
    """Each entry that waits as it is to be read: with its files, its edition, what it reverses, and if it is new."""
    return [
        {
            **entry_view(line),
            "files": file_views(page.files),
            "edition": page.edition,
            "read_at": moment(page.read_at) if page.read_at else "",
            "changed": page.changed,
            "target": entry_view(replace(line, entry=line.target, target=None)) if line.target else None,
        }
        for line, page in zip(lines, pages, strict=True)
    ]


def planned_view(planned: Planned) -> dict[str, str]:
    """An entry that is not yet made: its kind, its days, and everything else in one line."""
    told = ", ".join(f"{label} {value}" for label, value in facts(planned.body))
    return {"kind": KIND_WORDS[planned.kind], "days": _days(planned.body), "facts": told}


def facts(body: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The fields of an entry but its days, as labels and words."""
    return [
        (LABELS.get(name, name.replace("_", " ")), _said(value))
        for name, value in body.items()
        if name not in LEFT_OUT
    ]


def _said(value: Any) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, dict):
        return ", ".join(_named(str(name), one) for name, one in value.items())
    if isinstance(value, list):
        return "; ".join(_said(one) for one in value)
    return CODES.get(str(value), str(value))


def _named(name: str, value: Any) -> str:
    """A part of an entry with its label; the name of a specimen stands for itself."""
    return _said(value) if name == "specimen" else f"{LABELS.get(name, name)} {_said(value)}"


def _days(body: Mapping[str, Any]) -> str:
    words = entry_days(body)
    for name in LEFT_OUT:
        found = iso(str(body.get(name, "")))
        if found:
            words = words.replace(found.isoformat(), day_words(found))
    return words


def _hand(name: str, role: str) -> str:
    return f"{name} ({ROLE_WORDS.get(role, role.replace('_', ' '))})"
