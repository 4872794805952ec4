"""Lines and areas of a finished drawing, read back from its SVG by the look that the style sheet gives each class."""

from __future__ import annotations

import math
import re
import xml.etree.ElementTree as ET
from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from trainer.drawing.figures import Figure
from trainer.drawing.register import Box

Point = tuple[float, float]
STYLE = Path("trainer/web/static/house.css").read_text(encoding="utf-8")
STROKED, FILLED = set(), set()
for names, body in re.findall(r"^(\.[\w-]+(?:, \.[\w-]+)*) \{([^}]*)\}", STYLE, re.MULTILINE):
    classes = re.findall(r"\.([\w-]+)", names)
    if re.search(r"stroke: var", body):
        STROKED.update(classes)
    if re.search(r"fill: (?:url|var\(--(?!sheet))", body):
        FILLED.update(classes)
IGNORED = {"grid", "plate"}


@dataclass(frozen=True, slots=True)
class Shape:
    """A shape as corners and straight pieces, or as circles about one middle; ``filled`` between them."""

    classes: set[str]
    pieces: list[tuple[Point, Point]]
    middle: Point = (0.0, 0.0)
    radii: tuple[float, ...] = ()

    def hits(self, box: Box) -> bool:
        """True if a line of the shape runs through the box, or its hatching or colour lies in it."""
        stroked, filled = self.classes & STROKED, self.classes & FILLED
        if self.radii:
            near, far = reach(box, self.middle)
            inside = filled and near <= max(self.radii) and (len(self.radii) == 1 or far >= min(self.radii))
            return bool(inside or (stroked and any(near <= r <= far for r in self.radii)))
        if (stroked or filled) and any(box.crossed((*a, *b)) for a, b in self.pieces):
            return True
        return bool(filled) and self.holds(((box.left + box.right) / 2, (box.top + box.bottom) / 2))

    def holds(self, point: Point) -> bool:
        """True if the point lies inside the outline."""
        x, y = point
        odd = False
        for (x1, y1), (x2, y2) in self.pieces:
            if (y1 > y) != (y2 > y) and x < x1 + (y - y1) / (y2 - y1) * (x2 - x1):
                odd = not odd
        return odd


def reach(box: Box, point: Point) -> tuple[float, float]:
    """How far the nearest and the farthest place of the box lie from the point."""
    x, y = point
    corners = [math.dist((a, b), point) for a in (box.left, box.right) for b in (box.top, box.bottom)]
    return math.dist((min(max(x, box.left), box.right), min(max(y, box.top), box.bottom)), point), max(
        corners
    )


def shapes(figure: Figure) -> Iterator[Shape]:
    """Every shape that is drawn, patterns, words and their plates left out."""
    for element in ET.fromstring(figure.svg):
        classes = set(element.get("class", "").split())
        if not classes or classes & IGNORED or element.tag == "text":
            continue
        at = {name: float(one) for name, one in element.items() if re.fullmatch(r"-?[\d.]+", one)}
        if element.tag == "circle":
            yield Shape(classes, [], (at["cx"], at["cy"]), (at["r"],))
        elif "A" in element.get("d", ""):
            yield ring(classes, element.get("d", ""))
        else:
            yield Shape(classes, [piece for line in outline(element, at) for piece in pairwise(line)])


def ring(classes: set[str], d: str) -> Shape:
    """The ring that a path of four half circles draws."""
    starts = re.findall(r"M([\d.-]+) ([\d.-]+)A([\d.]+)", d)
    x, y, r = (float(one) for one in starts[0])
    return Shape(classes, [], (x + r, y), tuple(float(radius) for _, _, radius in starts))


def outline(element: ET.Element, at: dict[str, float]) -> Iterator[list[Point]]:
    """The points of a straight or bent line, rectangle or ellipse."""
    if element.tag == "line":
        yield [(at["x1"], at["y1"]), (at["x2"], at["y2"])]
    elif element.tag == "rect":
        x, y, wide, high = at["x"], at["y"], at["width"], at["height"]
        yield [(x, y), (x + wide, y), (x + wide, y + high), (x, y + high), (x, y)]
    elif element.tag == "ellipse":
        turns = [k * math.pi / 36 for k in range(73)]
        yield [(at["cx"] + at["rx"] * math.cos(a), at["cy"] + at["ry"] * math.sin(a)) for a in turns]
    else:
        for part in re.findall(r"[^M]+", element.get("d") or element.get("points", "")):
            numbers = [float(one) for one in re.findall(r"-?[\d.]+", part)]
            points = list(zip(numbers[::2], numbers[1::2], strict=True))
            yield [*points, points[0]] if part.endswith("Z") else points


def crossed_words(figure: Figure, words: list[tuple[str, Box]]) -> list[str]:
    """Words that a line runs through, or that stand on a hatching, without a plate that keeps them readable."""
    plates = [
        tuple(float(element.get(name, "")) for name in ("x", "y", "width", "height"))
        for element in ET.fromstring(figure.svg).iter("rect")
        if element.get("class") == "plate"
    ]
    drawn = list(shapes(figure))
    found = []
    for text, box in words:
        inner = Box(box.left + 0.1, box.top + 0.1, box.right - 0.1, box.bottom - 0.1)
        own = (box.left, box.top, box.right - box.left, box.bottom - box.top)
        if any(all(abs(a - b) < 0.02 for a, b in zip(own, plate, strict=True)) for plate in plates):
            continue
        found += [f"{text} on {sorted(shape.classes)}" for shape in drawn if shape.hits(inner)][:1]
    return found


def astray(figure: Figure) -> list[str]:
    """Pointing lines whose arrow ends on no line."""
    drawn = list(shapes(figure))
    found = []
    for leader in (shape for shape in drawn if shape.classes == {"leader"}):
        (x, y), _ = leader.pieces[0]
        end = Box(x - 2.2, y - 2.2, x + 2.2, y + 2.2)
        others = (shape for shape in drawn if "leader" not in shape.classes)
        if not any(shape.classes & STROKED and shape.hits(end) for shape in others):
            found.append(f"an arrow ends at {x}, {y} on nothing")
    return found
