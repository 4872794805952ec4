"""Open the sheet of a figure or field picture: the kind by its name, the numbers checked, a pen ready."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Final, TypeVar

from trainer.drawing.figures.sheet import Kind, Sheet, Shown, check
from trainer.drawing.pen import Pen
from trainer.errors import Refused

Chosen = TypeVar("Chosen", bound=Kind)
_ID: Final = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,79}")


def opened(
    kinds: Mapping[str, Chosen],
    what: str,
    kind: str,
    fid: str,
    roles: Mapping[str, Shown],
    words: Mapping[str, str],
) -> tuple[Chosen, Sheet]:
    """The kind of this name and a sheet for it. ``fid`` begins every id in the drawing; ``what`` names it: figure.

    Raises ``Refused`` for a kind, role, word, unit or number that cannot be drawn.
    """
    found = kinds.get(kind)
    if found is None:
        raise Refused(f"There is no {what} named {kind[:40]}: use one of {', '.join(sorted(kinds))}.")
    if not _ID.fullmatch(fid):
        raise Refused(
            f"The name of a {what} must begin with a letter and hold only letters, digits, - and _."
        )
    check(found, roles, words)
    return found, Sheet(Pen(fid), found, roles, words)
