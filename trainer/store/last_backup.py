"""When the last backup of an instance was made, which ones the running trainer made, what kept it from making one: notes
beside the records."""

from __future__ import annotations

import errno
import re
from datetime import datetime
from pathlib import Path

FILE = "last-backup.txt"
LONGEST = 40  # characters of a moment
OWN = "own-backups.txt"
NAME = re.compile(r"trainer-\d{4}-\d\d-\d\d-\d{6}\.tar\.gz(\.locked)?")
MOST_CHARACTERS = 200_000
TROUBLE = "backup-trouble.txt"
AWAY, FULL, SHUT, OTHER = TROUBLES = ("away", "full", "shut", "other")
_BY_NUMBER = {
    **dict.fromkeys((errno.ENOENT, errno.ENOTDIR, errno.ENODEV, errno.ENXIO, errno.EIO, errno.ESTALE), AWAY),
    **dict.fromkeys((errno.ENOSPC, errno.EDQUOT, errno.EFBIG), FULL),
    **dict.fromkeys((errno.EACCES, errno.EPERM, errno.EROFS), SHUT),
}


def note(instance: Path, moment: datetime) -> None:
    """Write down that a backup was made at a moment, which has a zone."""
    (instance / FILE).write_text(moment.isoformat(timespec="seconds") + "\n", encoding="utf-8")


def note_trouble(instance: Path, fault: BaseException) -> None:
    """Write down what kept the running trainer from making a backup that was due."""
    (instance / TROUBLE).write_text(kind_of(fault.__cause__ or fault) + "\n", encoding="utf-8")


def kind_of(fault: BaseException) -> str:
    """What a fault says of the folder that was read or written: one of `TROUBLES`."""
    return _BY_NUMBER.get(fault.errno or 0, OTHER) if isinstance(fault, OSError) else OTHER


def end_trouble(instance: Path) -> None:
    """Write down that a backup was made again."""
    (instance / TROUBLE).unlink(missing_ok=True)


def trouble(instance: Path) -> str:
    """What kept the running trainer from making the last backup that was due: one of `TROUBLES`; empty where nothing did."""
    try:
        with (instance / TROUBLE).open(encoding="utf-8") as note:
            said = note.read(LONGEST).strip()
    except FileNotFoundError:
        return ""
    except (OSError, ValueError):
        return OTHER
    return said if said in TROUBLES else OTHER


def last(instance: Path) -> datetime | None:
    """The moment of the last backup; None where none was made or the note cannot be read."""
    try:
        with (instance / FILE).open(encoding="utf-8") as note:
            moment = datetime.fromisoformat(note.read(LONGEST).strip())
    except (OSError, ValueError):
        return None
    return moment if moment.tzinfo else None


def made_by_itself(instance: Path) -> list[str]:
    """The names of the backups that the running trainer made and has not taken away, oldest first.

    A line that is no such name is passed over: what stands here is deleted one day.
    """
    try:
        with (instance / OWN).open(encoding="utf-8") as lines:
            return [name for name in lines.read(MOST_CHARACTERS).split("\n") if NAME.fullmatch(name)]
    except (OSError, ValueError):
        return []


def keep_list(instance: Path, names: list[str]) -> None:
    """Write the names of the backups that the running trainer made, oldest first."""
    (instance / OWN).write_text("".join(f"{name}\n" for name in names), encoding="utf-8")
