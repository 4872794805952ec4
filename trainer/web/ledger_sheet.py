"""Ledger entries as the plain data that the templates take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from trainer.languages import N_, _
from trainer.services.entry_plans import Planned
from trainer.services.entry_readings import Page
from trainer.services.ledger_lines import Line
from trainer.services.particulars import ROLE_WORDS
from trainer.web.days import day as day_words
from trainer.web.days import iso, moment
from trainer.web.evidencing import file_views

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
    "about": N_("about"),
    "administered_by": N_("administered by"),
    "chart": N_("chart"),
    "checkpoints": N_("checkpoints"),
    "completed_years": N_("completed years"),
    "content": N_("content"),
    "content_tracked": N_("content tracked"),
    "corrected": N_("corrected"),
    "distance_cm": N_("distance, cm"),
    "employer": N_("employer"),
    "event": N_("event"),
    "evidence": N_("evidence"),
    "examination": N_("examination"),
    "eyes": N_("eyes"),
    "field": N_("field of study"),
    "hours": N_("hours"),
    "hours_each": N_("hours a shift"),
    "hours_tracked": N_("hours tracked"),
    "instruction": N_("instruction"),
    "level": N_("level"),
    "level_held": N_("level held"),
    "marks": N_("marks"),
    "method": N_("method"),
    "methods": N_("methods"),
    "mode": N_("mode"),
    "nature": N_("nature"),
    "note": N_("note"),
    "number": N_("number"),
    "of": N_("out of"),
    "outline": N_("outline"),
    "paper": N_("paper"),
    "part": N_("part"),
    "percent": N_("percent"),
    "purpose": N_("purpose"),
    "reason": N_("reason"),
    "records_kept": N_("records kept"),
    "remedial_for": N_("remedial for"),
    "restriction": N_("restriction"),
    "result": N_("result"),
    "reverses": N_("reverses"),
    "right": N_("right"),
    "scheme": N_("scheme"),
    "scope": N_("scope"),
    "shifts": N_("shifts"),
    "site": N_("site"),
    "specimens": N_("specimens"),
    "split": N_("split"),
    "start": N_("start"),
    "task": N_("task"),
    "test": N_("test"),
    "until": N_("until"),
    "what": N_("what"),
}
CHOSEN = {
    "mode": (N_("classroom"), N_("laboratory"), N_("virtual"), N_("computer"), N_("web")),
    "content": (N_("theory"), N_("practical")),
    "examination": (N_("none"), N_("passed"), N_("failed")),
    "nature": (N_("job"), N_("laboratory")),
    "part": (N_("general"), N_("specific"), N_("practical")),
    "purpose": (N_("initial"), N_("recertification")),
    "test": (N_("near"), N_("colour")),
    "result": (N_("pass"), N_("fail"), N_("restricted")),
    "event": (N_("began"), N_("ended"), N_("rehired")),
    "reason": (N_("holiday"), N_("sickness"), N_("course"), N_("other")),
    "field": (N_("engineering"), N_("science"), N_("other")),
}
"""The words that may be chosen for a field of an entry; they are kept in English and shown to each in their language."""
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
        "kind": _(KIND_WORDS.get(row.kind, row.kind)),
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
    return {"kind": _(KIND_WORDS[planned.kind]), "days": _days(planned.body), "facts": told}


def facts(body: Mapping[str, Any]) -> list[tuple[str, str]]:
    """The fields of an entry but its days, as labels and words."""
    return [(_label(name), _said(value, name)) for name, value in body.items() if name not in LEFT_OUT]


def _label(name: str) -> str:
    """What a field of an entry is called; a name that is no field of ours stays."""
    plain = LABELS.get(name, name.replace("_", " "))
    return _(plain) if name in LABELS else plain


def _said(value: Any, name: str = "") -> str:
    """A value in words; only words of ours are translated, never what somebody wrote."""
    if isinstance(value, bool):
        return _("yes") if value else _("no")
    if isinstance(value, dict):
        return ", ".join(_named(str(part), one) for part, one in value.items())
    if isinstance(value, list):
        return "; ".join(_said(one, name) for one in value)
    told = CODES.get(str(value), str(value))
    return _(told) if told in CHOSEN.get(name, ()) else told


def _named(name: str, value: Any) -> str:
    """A part of an entry with its label; the name of a specimen stands for itself."""
    return _said(value) if name == "specimen" else f"{_label(name)} {_said(value, name)}"


def _days(body: Mapping[str, Any]) -> str:
    """The day or days of an entry in words."""
    first, last = (_day(body.get(name)) for name in ("from", "to"))
    if not first:
        return _day(body.get("date"))
    return _("%(first)s to %(last)s", first=first, last=last) if last else _("from %(first)s", first=first)


def _day(written: Any) -> str:
    found = iso(str(written)) if written else None
    return day_words(found) if found else str(written or "")


def _hand(name: str, role: str) -> str:
    return f"{name} ({_(ROLE_WORDS[role]) if role in ROLE_WORDS else role.replace('_', ' ')})"
