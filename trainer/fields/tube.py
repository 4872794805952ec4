"""Round parts with the current along them: a bar or tube that carries it itself, and a conductor in a bore."""

from __future__ import annotations

import math
from dataclasses import dataclass

_FINE = 1e-5
_MOST_TERMS = 400


def head_shot(current: float, outer: float, inner: float, r: float) -> float:
    """The field at r from the axis of a tube that carries the current itself, A/m; nothing in the bore."""
    if r <= inner:
        return 0.0
    share = min((r**2 - inner**2) / (outer**2 - inner**2), 1.0)
    return current * share / (2 * math.pi * r)


def central(current: float, bar: float, r: float) -> float:
    """The field at r from the axis of a bar of radius ``bar`` in the middle of a bore, A/m."""
    return current * min(r / bar, 1.0) / (2 * math.pi * max(r, bar))


@dataclass(frozen=True, slots=True)
class Offset:
    """A conductor in a round bore, its axis ``off`` from the middle, in a tube of even permeability.

    Inside, in the wall and outside the vector potential is a sum of cosines; their sizes follow from what
    must be continuous at both surfaces. Angles are counted from the conductor's side.
    """

    current: float
    off: float
    inner: float
    outer: float
    permeability: float

    def outside(self, angle: float) -> float:
        """The field along the outer surface, A/m."""
        return self._sum(self.off / self.outer, self.outer, angle, in_bore=False)

    def bore(self, angle: float) -> float:
        """The field along the surface of the bore, A/m."""
        return self._sum(self.off / self.inner, self.inner, angle, in_bore=True)

    def _sum(self, share: float, radius: float, angle: float, in_bore: bool) -> float:
        mean = self.current / (2 * math.pi * radius)
        pull = (self.permeability - 1) / (self.permeability + 1)
        if pull == 0:
            return mean * _bare(share, angle)
        q = (self.inner / self.outer) ** 2
        total, term, wall = 1.0, 1.0, 1.0
        for m in range(1, _MOST_TERMS):
            term *= share
            wall *= q
            if term < _FINE:
                break
            top = (1 - pull) * (1 + pull * wall) if in_bore else 1 - pull**2
            total += term * top / (1 - pull**2 * wall) * math.cos(m * angle)
        return mean * total


def _bare(share: float, angle: float) -> float:
    """1 plus the sum of share^m cos(m angle): the same without steel, closed."""
    return (1 - share * math.cos(angle)) / (1 - 2 * share * math.cos(angle) + share**2)
