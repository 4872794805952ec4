"""Figures: every kind of drawing an exercise can have, drawn to scale from its numbers.

``draw`` is the one door. ``KINDS`` says which numbers (roles) and words each kind takes.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from trainer.drawing.figures import (
    bath,
    cable,
    coil,
    conductor,
    contact,
    decay,
    duty,
    field,
    lifting,
    light,
    marks,
    prods,
    ring,
    waves,
    wrap,
    yoke,
)
from trainer.drawing.figures.sheet import Figure, Kind, Role, Sheet, Shown, check
from trainer.drawing.pen import Pen
from trainer.errors import Refused

__all__ = ["KINDS", "Figure", "Kind", "Role", "Shown", "draw"]

_ID: Final = re.compile(r"[A-Za-z][A-Za-z0-9_-]{0,79}")


_ROOMS: Final = (
    coil,
    wrap,
    prods,
    contact,
    conductor,
    ring,
    yoke,
    field,
    waves,
    duty,
    cable,
    lifting,
    decay,
    light,
    bath,
    marks,
)
KINDS: Final[Mapping[str, Kind]] = MappingProxyType(
    {kind.name: kind for room in _ROOMS for kind in room.KINDS}
)
"""Every kind of figure by its name."""


def draw(
    kind: str,
    fid: str,
    roles: Mapping[str, Shown],
    words: Mapping[str, str] = MappingProxyType({}),
    palette: str = "page",
) -> Figure:
    """The figure of this kind for these numbers. ``fid`` begins every id in it; ``palette`` is page or paper.

    Raises ``Refused`` for a kind, role, word, unit or number that cannot be drawn.
    """
    found = KINDS.get(kind)
    if found is None:
        raise Refused(f"There is no figure named {kind[:40]}: use one of {', '.join(sorted(KINDS))}.")
    if not _ID.fullmatch(fid):
        raise Refused("The name of a figure must begin with a letter and hold only letters, digits, - and _.")
    check(found, roles, words)
    sheet = Sheet(Pen(fid, palette=palette), found, roles, words)
    found.paint(sheet)
    return sheet.finish()
