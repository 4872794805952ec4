"""Days and moments as the pages write them."""

from __future__ import annotations

from datetime import date, datetime

from flask import Flask

from trainer.drawing.measures.strip import day_text


def install(app: Flask) -> None:
    """Give every template the filters ``day`` and ``moment``, so that all pages write a day alike."""
    app.jinja_env.filters |= {"day": day, "moment": moment}


def day(value: date | None) -> str:
    """A day, or the day of a moment by the clock of the place, as 25 Nov 2026; nothing for none."""
    if value is None:
        return ""
    told = value.astimezone() if isinstance(value, datetime) else value
    return f"{day_text(told)} {told.year}"


def moment(value: datetime) -> str:
    """A moment as 25 Nov 2026, 10:38, by the clock of the place."""
    return f"{day(value)}, {value.astimezone():%H:%M}"


def iso(text: str) -> date | None:
    """A day as a form sends it, or None for what is no day of these times."""
    try:
        found = date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None
    return found if 1950 <= found.year <= 2200 else None
