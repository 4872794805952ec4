"""The outline of an arrowhead."""

from __future__ import annotations

import math

from trainer.drawing.text import coordinate as n


def arrowhead(x: float, y: float, degrees: float, long: float, half: float) -> str:
    """Path data of an arrowhead with its point at (x, y); 0 degrees to the right, clockwise on the sheet."""
    a = math.radians(degrees)
    back = (x - long * math.cos(a), y - long * math.sin(a))
    side = (half * math.sin(a), -half * math.cos(a))
    p, q = (back[0] + side[0], back[1] + side[1]), (back[0] - side[0], back[1] - side[1])
    return f"M{n(x)} {n(y)}L{n(p[0])} {n(p[1])}L{n(q[0])} {n(q[1])}Z"
