"""Circular current loops and coils made of them, on the axis and off it.

Off the axis the field of a loop is a sum of complete elliptic integrals, worked out by the arithmetic and
geometric mean (Abramowitz and Stegun 17.6), about five rounds for full accuracy.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

_CLOSE = 1e-15
_SETTLED = 1e-8
"""Half the difference of the two means at which their next round would change the 16th figure: it falls to its square."""


@dataclass(frozen=True, slots=True)
class Coil:
    """A coil of so many turns, so much current in each, side by side along ``length`` about the origin.

    A coil of length 0 has all its turns in one plane.
    """

    turns: int
    current: float
    radius: float
    length: float

    def places(self) -> list[float]:
        """Where along the axis each turn lies."""
        if self.turns < 2:
            return [0.0]
        return [self.length * (k / (self.turns - 1) - 0.5) for k in range(self.turns)]

    def on_axis(self, z: float) -> float:
        """The field on the axis, along it, A/m."""
        return sum(on_axis(self.current, self.radius, z - place) for place in self.places())

    def field(self, r: float, z: float) -> tuple[float, float]:
        """The field at distance r from the axis and z along it: (outward, along), A/m."""
        outward = along = 0.0
        for place in self.places():
            part = field(self.current, self.radius, r, z - place)
            outward, along = outward + part[0], along + part[1]
        return outward, along

    def along(self, r: float, z: float) -> float:
        """How strong the field along the axis is at distance r from it and z along it, whichever way, A/m."""
        return abs(self.field(r, z)[1])


def on_axis(current: float, radius: float, z: float) -> float:
    """The field of one loop on its axis at z from its plane, A/m."""
    squared = radius**2 + z**2
    return current * radius**2 / (2 * squared * math.sqrt(squared))


def field(current: float, radius: float, r: float, z: float) -> tuple[float, float]:
    """The field of one loop at r from its axis and z from its plane: (outward, along), A/m.

    On the wire itself it is without bounds; there (inf, inf) is given.
    """
    if r < 1e-9 * radius:
        return 0.0, on_axis(current, radius, z)
    far, near = (radius + r) ** 2 + z**2, (radius - r) ** 2 + z**2
    if near < _CLOSE * radius**2:
        return math.inf, math.inf
    k, e = elliptic(4 * radius * r / far)
    scale = current / (2 * math.pi * math.sqrt(far))
    along = scale * (k + (radius**2 - r**2 - z**2) / near * e)
    outward = scale * z / r * ((radius**2 + r**2 + z**2) / near * e - k)
    return outward, along


def elliptic(m: float) -> tuple[float, float]:
    """The complete elliptic integrals K(m) and E(m) of the first and second kind, 0 <= m < 1."""
    a, b, c, share, power = 1.0, math.sqrt(1 - m), math.sqrt(m), m / 2, 0.5
    while c > _SETTLED:
        a, b, c = (a + b) / 2, math.sqrt(a * b), (a - b) / 2
        power *= 2
        share += power * c * c
    k = math.pi / (2 * a)
    return k, k * (1 - share)
