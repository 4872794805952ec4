"""A bar taken for an ellipsoid of the same length and diameter: how its own poles weaken the field inside.

Osborn, Physical Review 67 (1945) 351, gives the factor for every ellipsoid; here the two round ones.
"""

from __future__ import annotations

import math


def demagnetizing_factor(ratio: float) -> float:
    """The factor along the axis for length over diameter ``ratio``; 1/3 for a ball, towards 0 for a long bar."""
    if ratio <= 0:
        raise ValueError("length over diameter must be above zero")
    if abs(ratio - 1) < 1e-4:
        return 1 / 3 - 4 * (ratio - 1) / 15
    if ratio > 1:
        root = math.sqrt(ratio**2 - 1)
        return (ratio / root * math.log(ratio + root) - 1) / (ratio**2 - 1)
    root = math.sqrt(1 - ratio**2)
    return (1 - ratio / root * math.acos(ratio)) / (1 - ratio**2)


def inside(applied: float, ratio: float, permeability: float) -> float:
    """The field inside, and so along the surface at mid-length, in an even applied field, A/m."""
    return applied / (1 + demagnetizing_factor(ratio) * (permeability - 1))


def effective_permeability(ratio: float, permeability: float) -> float:
    """How many times the flux density in the bar is that of the empty field; at most 1 over the factor."""
    return permeability * inside(1.0, ratio, permeability)
