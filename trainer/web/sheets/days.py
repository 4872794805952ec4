"""Days and moments as the pages write them."""

from __future__ import annotations

import re
from datetime import date, datetime

from flask import Flask

from trainer.drawing.measures.strip import day_text

WRITTEN = re.compile(r"\b(\d{4}-\d\d-\d\d)(T\d\d:\d\d(?::\d\d(?:\.\d+)?)?Z)?(?![\w-])")


def install(app: Flask) -> None:
    """Give every template ``day``, ``moment`` and ``dated``, so that all pages write a day alike."""
    app.jinja_env.filters |= {"day": day, "moment": moment, "dated": dated}


def day(value: date | None) -> str:
    """A day, or the day of a moment by the clock of the place, as 25 Nov 2026; nothing for none."""
    if value is None:
        return ""
    told = value.astimezone() if isinstance(value, datetime) else value
    return f"{day_text(told)} {told.year}"


def moment(value: datetime) -> str:
    """A moment as 25 Nov 2026, 10:38, by the clock of the place."""
    return f"{day(value)}, {value.astimezone():%H:%M}"


def dated(text: object) -> str:
    """A sentence that is kept or signed, its days (2026-11-25) and moments (…T10:38:00Z) as the pages write them."""
    return WRITTEN.sub(_as_read, str(text))


def _as_read(found: re.Match[str]) -> str:
    on = iso(found[1])
    if on is None:
        return found[0]
    try:
        return moment(datetime.fromisoformat(found[0])) if found[2] else day(on)
    except ValueError:
        return found[0]


def iso(text: str) -> date | None:
    """A day as a form sends it, or None for what is no day of these times."""
    try:
        found = date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None
    return found if 1950 <= found.year <= 2200 else None
