"""The schemes by which this installation judges: those shipped, and the employer's own beside them."""

from __future__ import annotations

from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING

from trainer.errors import NotFound
from trainer.languages import _
from trainer.settings import bank_folder

if TYPE_CHECKING:
    from trainer.qualification import Level, Scheme

FIRST = "SNT-2016-A1"


def known(private_bank: Path) -> dict[str, Scheme]:
    """Every scheme by id; files in ``schemes`` of the private bank come after, and replace, those shipped.

    Read at the first call and again whenever a file has changed. Raises FaultyFiles.
    """
    folders = (bank_folder() / "schemes", private_bank / "schemes")
    files = [file for folder in folders for file in sorted(folder.glob("*.yaml"))]
    stamps = tuple((str(file), file.stat().st_mtime_ns, file.stat().st_size) for file in files)
    return dict(_read(folders, stamps))


def chosen(schemes: dict[str, Scheme], scheme_id: str, level_text: str) -> tuple[Scheme, Level]:
    """A scheme and a level as a page names them. Raises NotFound for others."""
    from trainer.qualification.reading.fields import level_of

    level = level_of(level_text)
    if scheme_id not in schemes or level is None:
        raise NotFound(_("There is no such scheme or level. Choose one of those offered."))
    return schemes[scheme_id], level


@lru_cache(maxsize=2)
def _read(
    folders: tuple[Path, ...], stamps: tuple[tuple[str, int, int], ...]
) -> tuple[tuple[str, Scheme], ...]:
    from trainer.qualification.scheme_reader import read_schemes

    found: dict[str, Scheme] = {}
    for folder in folders:
        if any(name.startswith(str(folder)) for name, _time, _size in stamps):
            found |= read_schemes(folder)
    return tuple(found.items())
