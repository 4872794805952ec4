"""Two prods on a plate: the field along its upper surface.

Under one prod the current spreads evenly to all sides, so a circle round the prod encloses the whole current
as it comes down the prod: the field on the surface is I/(2 pi r), whatever the thickness and permeability of
the plate. Both prods together make the field of two long wires out and back.
"""

from __future__ import annotations

from trainer.fields.wire import out_and_back, pair_contour

__all__ = ["contour", "on_surface"]

on_surface = out_and_back
contour = pair_contour
