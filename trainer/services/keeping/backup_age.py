"""How old the last backup is, in a sentence for the instructor who stands beside the machine."""

from __future__ import annotations

from datetime import date, datetime
from pathlib import Path

from trainer.languages import N_, _
from trainer.services.keeping.moments import local_day
from trainer.settings import Settings
from trainer.store import last_backup

NONE_YET = N_(
    "No backup of the records was made yet. Make one with: trainer backup DIR, or name a folder in the "
    "setting backup_folder."
)
SAME_DISK = N_(
    "The folder for backups is on the disk of the records: a disk that dies takes both. Is the stick plugged in?"
)
OLD_DAYS = 7
TROUBLE_WORDS = {
    last_backup.AWAY: N_(
        "The backup that is due cannot be made: the folder %(folder)s is not there. Plug the stick in, or see where the "
        "disk is; it is then made by itself within minutes."
    ),
    last_backup.FULL: N_(
        "The backup that is due cannot be made: %(folder)s has no room for it. Take older files away, or put in "
        "another stick."
    ),
    last_backup.SHUT: N_(
        "The backup that is due cannot be made: %(folder)s cannot be written. See whether the stick is shut against "
        "writing, and whether this account may write there."
    ),
    last_backup.OTHER: N_(
        "The backup that is due cannot be made to %(folder)s. The log in the instance folder says why."
    ),
}


def sentence(settings: Settings, now: datetime) -> str:
    """Say when the last backup was made; empty where the records are on a server with backups of its own."""
    if settings.database:
        return ""
    made = last_backup.last(settings.instance)
    if not settings.backup_folder:
        return _age(made, now)
    trouble = last_backup.trouble(settings.instance)
    before = [_(TROUBLE_WORDS[trouble], folder=settings.backup_folder)] if trouble else []
    after = [_(SAME_DISK)] if _on_one_disk(settings.instance, Path(settings.backup_folder)) else []
    return " ".join([*before, _age(made, now), *after])


def _on_one_disk(instance: Path, folder: Path) -> bool:
    """Whether a disk that dies takes both; so it also looks where a stick was pulled out and its place is left."""
    try:
        return instance.stat().st_dev == folder.stat().st_dev
    except OSError:
        return False


def _age(made: datetime | None, now: datetime) -> str:
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
