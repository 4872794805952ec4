"""Long straight wires: one alone, and two side by side that lead a current out and back.

Closed forms of Biot and Savart. Two prods on a plate are the same sum: see ``trainer/fields/plate.py``.
"""

from __future__ import annotations

import math

MU0 = 4e-7 * math.pi
"""Permeability of empty space and, near enough, of air: T per A/m."""


def around(current: float, distance: float) -> float:
    """The field of a long straight wire at this distance from its axis, A/m."""
    return current / (2 * math.pi * distance)


def reach(current: float, field: float) -> float:
    """How far from its axis a long straight wire still makes this field, m."""
    return current / (2 * math.pi * field)


def out_and_back(current: float, apart: float, x: float, y: float) -> float:
    """The size of the field of two long wires at (-apart/2, 0) and (apart/2, 0), opposite currents, A/m.

    The two fields add as vectors to I a / (2 pi r1 r2), with r1 and r2 the distances from the wires.
    """
    r1, r2 = math.hypot(x + apart / 2, y), math.hypot(x - apart / 2, y)
    return math.inf if r1 == 0 or r2 == 0 else current * apart / (2 * math.pi * r1 * r2)


def pair_reach(current: float, apart: float, field: float) -> float:
    """How far from the middle between the two wires, along their line, they still make this field, m."""
    return math.sqrt(current * apart / (2 * math.pi * field) + apart**2 / 4)


def pair_contour(
    current: float, apart: float, field: float, points: int = 90
) -> list[list[tuple[float, float]]]:
    """The closed line or lines on which two wires, out and back, make this field: an oval of Cassini.

    One line round both wires where the field in the middle is greater than this one, else one round each.
    """
    half, squared = apart / 2, current * apart / (2 * math.pi * field)
    if squared >= half**2:
        return [[_oval(half, squared, 2 * math.pi * k / points, 1) for k in range(points + 1)]]
    widest = math.asin(squared / half**2) / 2
    steps = 2 * (points // 4)  # even, so that the farthest point is among them
    angles = [widest * math.sin(math.pi * (k / steps - 0.5)) for k in range(steps + 1)]
    right = [_oval(half, squared, a, 1) for a in angles] + [
        _oval(half, squared, a, -1) for a in reversed(angles)
    ]
    right.append(right[0])
    return [right, [(-x, y) for x, y in right]]


def _oval(half: float, squared: float, angle: float, side: int) -> tuple[float, float]:
    """The point of the oval r1 r2 = squared at this angle about the middle; ``side`` -1 is the nearer one."""
    turn = half**2 * math.cos(2 * angle)
    root = math.sqrt(max(squared**2 - (half**2 * math.sin(2 * angle)) ** 2, 0.0))
    r = math.sqrt(max(turn + side * root, 0.0))
    return r * math.cos(angle), r * math.sin(angle)
