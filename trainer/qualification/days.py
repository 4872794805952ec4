"""Days as the ledger counts them: conventions V1, V2, V3, V6 and V7 of the house, each our own.

None of the documents read defines the last good day of a yearly check or how a month is added; these
functions are the one place where that is settled, so that every row counts alike.
"""

from __future__ import annotations

from datetime import date, timedelta

FURTHEST = date(9999, 12, 31)


def plus_months(start: date, months: int) -> date:
    """Add months, clipped to the last day of a shorter month (31 August + 6 months = 28 February)."""
    count = start.year * 12 + start.month - 1 + months
    year, month = divmod(count, 12)
    if year > FURTHEST.year:
        return FURTHEST
    return date(year, month + 1, min(start.day, last_day_of(year, month + 1)))


def plus_years(start: date, years: int) -> date:
    """Add years; 29 February becomes 28 February of a common year."""
    return plus_months(start, 12 * years)


def plus_days(start: date, days: int) -> date:
    """Add days; day 0 is ``start`` itself."""
    return start + timedelta(days=days) if days <= (FURTHEST - start).days else FURTHEST


def last_valid_day(granted: date, years: int) -> date:
    """Return the last valid day of a certificate for so many years: the anniversary less a day."""
    return plus_years(granted, years) - timedelta(days=1)


def last_day_of(year: int, month: int) -> int:
    """Return the number of days in a month."""
    following = date(year + month // 12, month % 12 + 1, 1) if (year, month) < (9999, 12) else FURTHEST
    return 31 if following is FURTHEST else (following - timedelta(days=1)).day
