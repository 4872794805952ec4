"""Days out of the times that signed files state."""

from __future__ import annotations

import re
from datetime import date

from trainer.errors import Unreadable
from trainer.languages import _
from trainer.records.jcs import Json

_TIME = re.compile(
    r"([0-9]{4}-[0-9]{2}-[0-9]{2})T[0-9]{2}:[0-9]{2}:[0-9]{2}(?:\.[0-9]{1,9})?(?:Z|[+-][0-9]{2}:[0-9]{2})"
)


def is_time(value: Json) -> bool:
    """Say whether the value is a time such as 2026-03-02T09:15:00Z on a day that exists."""
    match = _TIME.fullmatch(value) if isinstance(value, str) else None
    if match is None:
        return False
    try:
        date.fromisoformat(match[1])
    except ValueError:
        return False
    return True


def day_of(value: Json, member: str) -> date:
    """The day of a time as its writer wrote it; raise Unreadable, naming the member, if it is no time."""
    if not is_time(value):
        raise Unreadable(
            _("%(member)s is not written as a time such as 2026-03-02T09:15:00Z.", member=member)
        )
    return date.fromisoformat(value[:10])
