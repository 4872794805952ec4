"""Days and moments as the pages write them."""

from __future__ import annotations

from datetime import date, datetime

from trainer.drawing.measures.strip import day_text


def day(value: date | None) -> str:
    """A day as 25 Nov 2026; nothing for none."""
    return "" if value is None else f"{day_text(value)} {value.year}"


def moment(value: datetime) -> str:
    """A moment as 25 Nov 2026, 10:38, by the clock of the place."""
    told = value.astimezone()
    return f"{day(told.date())}, {told:%H:%M}"


def iso(text: str) -> date | None:
    """A day as a form sends it, or None for what is no day of these times."""
    try:
        found = date.fromisoformat(text.strip()[:10])
    except ValueError:
        return None
    return found if 1950 <= found.year <= 2200 else None
