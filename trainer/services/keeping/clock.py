"""Whether the clock of this machine can be right: everything that is kept here is judged by it."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

EARLIEST = datetime(2026, 1, 1, tzinfo=UTC)  # this program is younger than that
LEEWAY = timedelta(minutes=5)
AHEAD = timedelta(days=1)  # what was begun later than this from now was begun by a clock that ran ahead


def trouble(now: datetime, newest: datetime | None) -> str:
    """Say why the clock cannot be right, and what to do; empty where nothing speaks against it.

    ``newest`` is the moment of the newest link of the chain, if there is one.
    """
    shown = f"{now.astimezone():%Y-%m-%d %H:%M}"
    if now < EARLIEST:
        return f"says {shown}, which cannot be. Set date and time of this machine."
    if newest and now < newest - LEEWAY:
        return (
            f"says {shown}, but the newest entry is of {newest.astimezone():%Y-%m-%d %H:%M}. "
            "Set date and time of this machine before anybody goes on."
        )
    return ""
