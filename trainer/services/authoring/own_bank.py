"""The files of approved items in the bank of this installation: what is approved, and nothing else, lies there.

Only files at the places of drafts are touched. One that was changed by hand is put back as it was approved, so
that nobody scores what no second person has read; one that was withdrawn is taken away. Files that were never
drafts stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from trainer import private_files
from trainer.bank.readings import forget
from trainer.errors import Refused
from trainer.languages import _
from trainer.services.keeping import own_contents


def settle(folder: Path, standing: Iterable[tuple[str, str, bool]]) -> None:
    """Make the folder hold what is approved (`approved.standing`). Each file is written whole or not at all.

    Raises Refused where the folder cannot be written.
    """
    wanted: dict[str, str] = {}
    gone: dict[str, set[str]] = {}
    for place, text, stands in standing:
        if stands:
            wanted[place] = text
        else:
            gone.setdefault(place, set()).add(text)
    try:
        for place, texts in gone.items():
            if place not in wanted and _text(_file(folder, place)) in texts:
                _file(folder, place).unlink()
                forget(_file(folder, place))
        for place, text in wanted.items():
            if _text(_file(folder, place)) != text:
                _write(_file(folder, place), text)
    except OSError as fault:
        raise Refused(
            _(
                "The folder %(folder)s cannot be written (%(strerror)s). See to its rights and its space, then "
                "start the trainer again: what is approved is laid into it then.",
                folder=folder,
                strerror=fault.strerror,
            )
        ) from fault


def is_free(folder: Path, place: str) -> bool:
    """Whether no file lies at a place, so that approving there overwrites nobody's work."""
    return not _file(folder, place).exists()


def _file(folder: Path, place: str) -> Path:
    if not own_contents.id_of(place):
        raise Refused(_("This item has no place in the bank: its id or topic cannot be a file's name."))
    return folder / place


def _text(file: Path) -> str | None:
    try:
        return file.read_text(encoding="utf-8")
    except (FileNotFoundError, UnicodeDecodeError):
        return None


def _write(file: Path, text: str) -> None:
    file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
    private_files.replace(file, text.encode("utf-8"))
