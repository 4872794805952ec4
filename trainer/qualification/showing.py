"""A standing as plain data with stable keys, and as lines of text for a terminal."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from typing import Any

from trainer.qualification.rows import Row, Verdict
from trainer.qualification.standing import Standing

MARKS = {Verdict.MET: "met", Verdict.NOT_MET: "NOT MET", Verdict.EXPIRED: "EXPIRED"}


def standing_as_data(standing: Standing) -> dict[str, Any]:
    """Return scheme, level, day, prerequisites and overall verdict; the keys are a contract with scripts."""
    practice = standing.practice
    return {
        "scheme": standing.scheme.id,
        "level": str(standing.level),
        "on": standing.on.isoformat(),
        "prerequisites": [row_as_data(row) for row in standing.prerequisites],
        "overall": str(standing.overall),
        "written_practice": None
        if practice is None
        else {"revision": practice.revision, "in_force": practice.in_force.isoformat()},
        "says": standing.says,
        "remarks": list(standing.remarks),
    }


def row_as_data(row: Row) -> dict[str, Any]:
    """Return one prerequisite as plain data; numbers are numbers, days are text."""
    return {
        "id": row.id,
        "verdict": str(row.verdict),
        "have": _number(row.have),
        "need": _number(row.need),
        "unit": row.unit,
        "until": row.until.isoformat() if row.until else None,
        "clause": row.clause,
        "says": row.says,
        "entries": list(row.entries),
        **{name: day.isoformat() if day else None for name, day in row.further.items()},
    }


def standing_lines(standing: Standing) -> Iterator[str]:
    """Write a standing for a person at a terminal."""
    who = f" of {standing.person}" if standing.person else ""
    scheme = standing.scheme
    yield f"Standing{who} on {standing.on}: {scheme.document} {scheme.edition}, MT Level {standing.level}"
    yield f"Judged: {standing.route}"
    for row in standing.prerequisites:
        until = f" (until {row.until})" if row.until else ""
        yield f"  {MARKS[row.verdict]:8} {row.id}{until}: {row.says}"
        yield f"           by {row.clause}"
    yield ""
    yield standing.says
    for remark in standing.remarks:
        yield f"  {remark}"


def _number(value: Fraction | None) -> int | float | None:
    if value is None:
        return None
    return value.numerator if value.denominator == 1 else float(value)
