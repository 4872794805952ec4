"""When the last backup of an instance was made, and which ones the running trainer made: notes beside the records."""

from __future__ import annotations

import re
from datetime import datetime
from pathlib import Path

FILE = "last-backup.txt"
LONGEST = 40  # characters of a moment
OWN = "own-backups.txt"
NAME = re.compile(r"trainer-\d{4}-\d\d-\d\d-\d{6}\.tar\.gz(\.locked)?")
MOST_CHARACTERS = 200_000


def note(instance: Path, moment: datetime) -> None:
    """Write down that a backup was made at a moment, which has a zone."""
    (instance / FILE).write_text(moment.isoformat(timespec="seconds") + "\n", encoding="utf-8")


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
