"""Days as people count them: by the clock of the place where the machine stands, not by UTC."""

from __future__ import annotations

from datetime import date, datetime, time


def local_day(moment: datetime) -> date:
    """Return the calendar day of a moment where the machine stands."""
    return moment.astimezone().date()


def day_begins(day: date) -> datetime:
    """Return the moment at which a calendar day begins where the machine stands."""
    return datetime.combine(day, time()).astimezone()
