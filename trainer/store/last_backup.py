"""When the last backup of an instance was made: a note beside the records, written with each backup."""

from __future__ import annotations

from datetime import datetime
from pathlib import Path

FILE = "last-backup.txt"
LONGEST = 40  # characters of a moment


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
