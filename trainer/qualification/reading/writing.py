"""Turn an entry back into the plain data that a history file holds."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import fields
from datetime import date
from fractions import Fraction

from trainer.qualification.entries import Entry, Experience, Level, Marks, Signature
from trainer.qualification.reading.notation import Plain

_ELSEWHERE = frozenset({"id", "first", "last", "ranged", "entered_by", "countersigned_by", "kept"})
_RENAMED = {"field_of_study": "field"}


def entry_as_data(entry: Entry) -> dict[str, Plain]:
    """Return an entry as text, lists and mappings, in the order of the format."""
    data: dict[str, Plain] = {"id": entry.id, "kind": entry.kind, **_days(entry)}
    data.update(_experience(entry) if isinstance(entry, Experience) else _judged(entry))
    data.update(entry.kept)
    data["entered_by"] = _signature(entry.entered_by)
    if entry.countersigned_by is not None:
        data["countersigned_by"] = _signature(entry.countersigned_by)
    return data


def decimal_text(value: Fraction) -> str:
    """Write a number that was read as a plain decimal as a plain decimal again, exactly."""
    places = 0
    while (value * 10**places).denominator != 1:
        places += 1
        if places > 18:
            raise ValueError(f"{value} is not a plain decimal")
    digits = str(value * 10**places).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}" if places else digits


def _days(entry: Entry) -> dict[str, Plain]:
    if not entry.ranged:
        return {"date": entry.first.isoformat()}
    if entry.last is None:
        return {"from": entry.first.isoformat()}
    return {"from": entry.first.isoformat(), "to": entry.last.isoformat()}


def _judged(entry: Entry) -> dict[str, Plain]:
    data: dict[str, Plain] = {}
    # A written part is held with no specimens, a practical one with no questions: they are left out again.
    unwritten = ("right", "of") if getattr(entry, "part", "") == "practical" else ("specimens",)
    for column in fields(entry):
        value = getattr(entry, column.name)
        if column.name in _ELSEWHERE or column.name in unwritten or value is None:
            continue
        data[_RENAMED.get(column.name, column.name)] = _plain(value)
    return data


def _experience(entry: Experience) -> dict[str, Plain]:
    several = len(entry.methods) > 1
    data: dict[str, Plain] = {"methods": list(entry.methods)} if several else {"method": entry.methods[0]}
    if entry.ranged:
        data |= {"shifts": str(entry.shifts), "hours_each": decimal_text(entry.hours_each)}
    else:
        data["hours"] = decimal_text(entry.hours_each)
    if entry.start is not None:
        data["start"] = f"{entry.start // 60:02d}:{entry.start % 60:02d}"
    if entry.split is not None:
        data["split"] = {method: decimal_text(hours) for method, hours in entry.split.items()}
    return {**data, "nature": entry.nature}


def _plain(value: object) -> Plain:
    if isinstance(value, Level | int) and not isinstance(value, bool):
        return str(value)
    if isinstance(value, Fraction):
        return decimal_text(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Marks):
        return _marks(value)
    if isinstance(value, tuple):
        return [_plain(item) for item in value]
    if isinstance(value, Mapping):
        return {str(key): _plain(item) for key, item in value.items()}
    assert isinstance(value, str | bool)
    return value


def _marks(marks: Marks) -> dict[str, Plain]:
    data: dict[str, Plain] = {"marks": decimal_text(marks.marks), "of": decimal_text(marks.of)}
    if marks.specimen:
        data["specimen"] = marks.specimen
    if marks.checkpoints:
        data["checkpoints"] = str(marks.checkpoints)
    if marks.percent is not None:
        data["percent"] = decimal_text(marks.percent)
    return data


def _signature(signature: Signature) -> dict[str, Plain]:
    return {"person": signature.person, "role": signature.role}
