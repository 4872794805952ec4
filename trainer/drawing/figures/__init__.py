"""Figures: every kind of drawing an exercise can have, drawn to scale from its numbers.

``draw`` is the one door. ``KINDS`` says which numbers (roles) and words each kind takes.
"""

from __future__ import annotations

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
from trainer.drawing.figures.opening import opened
from trainer.drawing.figures.sheet import Figure, Kind, Role, Shown

__all__ = ["KINDS", "Figure", "Kind", "Role", "Shown", "draw"]

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
) -> Figure:
    """The figure of this kind for these numbers. ``fid`` begins every id in it.

    Raises ``Refused`` for a kind, role, word, unit or number that cannot be drawn.
    """
    found, sheet = opened(KINDS, "figure", kind, fid, roles, words)
    found.paint(sheet)
    return sheet.finish()
