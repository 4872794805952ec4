"""Ledger entries as the plain data that the templates take."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import replace
from typing import Any

from trainer.languages import _
from trainer.services.admitting.particulars import ROLE_WORDS
from trainer.services.qualifying.entry_plans import Planned
from trainer.services.qualifying.entry_readings import Page
from trainer.services.qualifying.entry_words import KIND_WORDS, facts
from trainer.services.qualifying.entry_words import line as line_of
from trainer.services.qualifying.ledger_lines import Line
from trainer.web.asking.evidencing import file_views
from trainer.web.sheets.days import day as day_words
from trainer.web.sheets.days import iso, moment

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
        "line": line_of(row.body),
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
    return {
        "kind": _(KIND_WORDS[planned.kind]),
        "days": _days(planned.body),
        "facts": line_of(planned.body),
    }


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
