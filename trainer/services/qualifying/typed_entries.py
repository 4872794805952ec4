"""What was typed about an entry, in a form or in a row of a spreadsheet, as the body of a ledger entry.

This only gathers: lists, marks and specimens are put together. Whether it can be taken is for the reader of
the history format.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from trainer.languages import _
from trainer.services.qualifying import histories
from trainer.services.qualifying.histories import BadEntry

SPECIMENS = 4
MOST_TYPED = 2000
_LISTS = frozenset({"methods", "about"})
_LAST = ("evidence", "note")
_APART = frozenset(
    {
        "id",
        "kind",
        "entered_by",
        "countersigned_by",
        "entered_on",
        "previous",
        "hash",
        "specimens",
        "instruction",
    }
) | frozenset(_LAST)
_FLAGS = frozenset({"hours_tracked", "content_tracked", "records_kept"})


def fields(kind: str) -> list[str]:
    """The fields of a kind that are typed as one text each, those that are never judged last."""
    return [name for name in histories.names_of(kind) if name not in _APART] + list(_LAST)


def body(kind: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed, as the body of an entry. Raises BadEntry for a list or split that cannot be read."""
    told: dict[str, Any] = {}
    for name in fields(kind):
        text = typed.get(name, "")[:MOST_TYPED].strip()
        if text:
            told[name] = _value(name, text)
    if kind == "examination":
        told["specimens"] = _specimens(typed)
        marks = {name: typed.get(f"instruction_{name}", "").strip() for name in ("marks", "of")}
        if any(marks.values()):
            told["instruction"] = marks
    return {name: value for name, value in told.items() if value not in ("", [])}


def _value(name: str, text: str) -> Any:
    if name in _LISTS:
        return [word for word in re.split(r"[\s,;]+", text) if word]
    if name in _FLAGS:
        return {"true": True, "false": False}.get(text, text)
    return _split(text) if name == "split" else text


def _split(text: str) -> dict[str, str]:
    parts = [part.split() for part in re.split(r"[,;]+", text) if part.strip()]
    if any(len(part) != 2 for part in parts):
        raise BadEntry(_("write each method with its hours: MT 3, PT 5"), "split")
    return {part[0]: part[1] for part in parts}


def _specimens(typed: Mapping[str, str]) -> list[dict[str, str]]:
    found = []
    for number in range(1, SPECIMENS + 1):
        names = ("specimen", "checkpoints", "marks", "of")
        line = {name: typed.get(f"{name}-{number}", "")[:100].strip() for name in names}
        if any(line.values()):
            found.append({name: value for name, value in line.items() if value})
    return found
