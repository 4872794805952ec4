"""Field pictures: the computed field of a set-up beside its rule of thumb, to scale, for an exercise's own numbers.

``draw_field`` is the one door. ``FIELD_KINDS`` says which numbers (roles) and words each kind takes.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType
from typing import Final

from trainer.drawing.fieldpictures import coil, conductor, leads, prods, tube, wrap
from trainer.drawing.fieldpictures.picture import Fact, FieldKind, FieldPicture, window_fact
from trainer.drawing.figures.opening import opened
from trainer.drawing.figures.sheet import Shown
from trainer.languages import _

__all__ = ["FIELD_KINDS", "Fact", "FieldKind", "FieldPicture", "draw_field"]

FIELD_KINDS: Final[Mapping[str, FieldKind]] = MappingProxyType(
    {room.KIND.name: room.KIND for room in (coil, wrap, prods, conductor, tube, leads)}
)
"""Every kind of field picture by its name."""


def draw_field(
    kind: str,
    fid: str,
    roles: Mapping[str, Shown],
    words: Mapping[str, str] = MappingProxyType({}),
) -> FieldPicture:
    """The field picture of this kind for these numbers, with what it shows in words.

    Raises ``Refused`` for a kind, role, word, unit or number that cannot be drawn.
    """
    found, sheet = opened(FIELD_KINDS, "field picture", kind, fid, roles, words)
    facts = (*found.facts(sheet), *window_fact(sheet))
    for fact in facts:
        sheet.say(f"{fact.name}: {fact.says}.")
    found.paint(sheet)
    return FieldPicture(sheet.finish(), facts, _(found.model))
