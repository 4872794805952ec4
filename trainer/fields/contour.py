"""Lines of equal value of a function of two numbers, by marching through the squares of a grid."""

from __future__ import annotations

from collections.abc import Callable, Sequence

Point = tuple[float, float]

# Which sides of a square the line joins, by which of its corners lie at or above the level (bits 1, 2, 4, 8
# counter-clockwise from the lower left). Sides: 0 below, 1 right, 2 above, 3 left.
_JOINED: dict[int, tuple[tuple[int, int], ...]] = {
    1: ((3, 0),), 2: ((0, 1),), 3: ((3, 1),), 4: ((1, 2),), 5: ((3, 0), (1, 2)), 6: ((0, 2),), 7: ((3, 2),),
    8: ((2, 3),), 9: ((2, 0),), 10: ((0, 1), (2, 3)), 11: ((2, 1),), 12: ((1, 3),), 13: ((1, 0),), 14: ((0, 3),),
}  # fmt: skip


def grid(
    function: Callable[[float, float], float], xs: Sequence[float], ys: Sequence[float]
) -> list[list[float]]:
    """The values of a function, a row for each y."""
    return [[function(x, y) for x in xs] for y in ys]


def contours(
    values: Sequence[Sequence[float]], xs: Sequence[float], ys: Sequence[float], level: float
) -> list[list[Point]]:
    """The lines on which the values pass the level, each a list of points, closed ones ending where they began."""
    ends: dict[Point, list[Point]] = {}
    for j in range(len(ys) - 1):
        for i in range(len(xs) - 1):
            for a, b in _crossings(values, xs, ys, i, j, level):
                if a != b:
                    ends.setdefault(a, []).append(b)
                    ends.setdefault(b, []).append(a)
    return _chained(ends)


def _crossings(
    values: Sequence[Sequence[float]], xs: Sequence[float], ys: Sequence[float], i: int, j: int, level: float
) -> list[tuple[Point, Point]]:
    low, high = values[j], values[j + 1]
    corners = (low[i], low[i + 1], high[i + 1], high[i])
    case = sum(bit for bit, value in zip((1, 2, 4, 8), corners, strict=True) if value >= level)
    if case in (0, 15):
        return []
    x0, x1, y0, y1 = xs[i], xs[i + 1], ys[j], ys[j + 1]
    sides = (
        lambda: (_between(x0, x1, corners[0], corners[1], level), y0),
        lambda: (x1, _between(y0, y1, corners[1], corners[2], level)),
        lambda: (_between(x0, x1, corners[3], corners[2], level), y1),
        lambda: (x0, _between(y0, y1, corners[0], corners[3], level)),
    )
    return [(sides[a](), sides[b]()) for a, b in _JOINED[case]]


def _between(start: float, end: float, low: float, high: float, level: float) -> float:
    """Where between two places the level is passed; the values may be without bounds at one of them."""
    if low == high or abs(low) == float("inf") or abs(high) == float("inf"):
        return (start + end) / 2
    return start + (end - start) * (level - low) / (high - low)


def _chained(ends: dict[Point, list[Point]]) -> list[list[Point]]:
    """Join the pieces end to end; lines that run off the grid first, then the closed ones."""
    lines = []
    for start in [*(p for p, others in ends.items() if len(others) == 1), *ends]:
        if not ends.get(start):
            continue
        line = [start]
        while ends.get(line[-1]):
            following = ends[line[-1]].pop()
            ends[following].remove(line[-1])
            line.append(following)
        lines.append(line)
    return lines
