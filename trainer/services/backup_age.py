"""How old the last backup is, in a sentence for the instructor who stands beside the machine."""

from __future__ import annotations

from datetime import datetime

from trainer.services.moments import local_day
from trainer.settings import Settings
from trainer.store.last_backup import last

NONE_YET = (
    "No backup of the records was made yet. Make one with: trainer backup DIR, or name a folder in the "
    "setting backup_folder."
)
OLD_DAYS = 7


def sentence(settings: Settings, now: datetime) -> str:
    """Say when the last backup was made; empty where the records are on a server with backups of its own."""
    if settings.database:
        return ""
    made = last(settings.instance)
    if made is None:
        return NONE_YET
    days = (local_day(now) - local_day(made)).days
    when = {0: "today", 1: "yesterday"}.get(days, f"{days} days ago")
    said = f"The last backup of the records was made {when if days >= 0 else 'on ' + str(local_day(made))}."
    return f"{said} Make another one: trainer backup DIR." if days >= OLD_DAYS else said
