"""How old the last backup is, in a sentence for the instructor who stands beside the machine."""

from __future__ import annotations

from datetime import date, datetime

from trainer.languages import N_, _
from trainer.services.keeping.moments import local_day
from trainer.settings import Settings
from trainer.store.last_backup import last

NONE_YET = N_(
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
        return _(NONE_YET)
    days = (local_day(now) - local_day(made)).days
    said = _said(days, local_day(made))
    return said + " " + _("Make another one: trainer backup DIR.") if days >= OLD_DAYS else said


def _said(days: int, day: date) -> str:
    if days < 0:
        return _("The last backup of the records was made on %(day)s.", day=day)
    if days == 0:
        return _("The last backup of the records was made today.")
    if days == 1:
        return _("The last backup of the records was made yesterday.")
    return _("The last backup of the records was made %(days)s days ago.", days=days)
