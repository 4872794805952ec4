"""The sheet a figure is drawn on: the numbers of the exercise, one length scale, and what has been shown so far.

A number whose text is ``?`` is the one asked for: it may set a length, but it is never written, no axis is
numbered beside it, a count that is asked for is not drawn to the last piece, and no squares are laid where a
length is asked for. Numbers that a figure has no place for are written at its foot, so none is lost.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from functools import cache
from typing import Final

from trainer.drawing.pen import Pen
from trainer.drawing.register import Spot
from trainer.drawing.text import cut, quantity
from trainer.errors import Refused
from trainer.formulas.units import unit
from trainer.languages import _

_MEASURES: Final = {"length": "m", "current": "A", "time": "s", "share": "1", "angle": "deg"}
"""What a figure must bring to one measure before it can draw, and the unit it is then in. Others come as they are."""

_NEEDED: Final = frozenset({"length", "time", "angle", "current"})
_MOST: Final = 1e12


@dataclass(frozen=True, slots=True)
class Shown:
    """One number of the exercise as the figure gets it. ``text`` is what is printed; ``?`` for the unknown."""

    value: float
    unit: str
    text: str
    symbol: str
    live: bool = False


@dataclass(frozen=True, slots=True)
class Figure:
    """A finished drawing with its title, description and the sentence on its scale."""

    svg: str
    title: str
    desc: str
    width: float
    height: float
    scale_says: str


@dataclass(frozen=True, slots=True)
class Role:
    """A place for a number in a figure. ``dimension``: length, current, time, angle, share, count or any."""

    name: str
    says: str
    dimension: str = "any"
    required: bool = False


@dataclass(frozen=True, slots=True)
class Kind:
    """One kind of figure: what it shows, the numbers it takes, the words it takes, and how it is drawn."""

    name: str
    title: str
    view: str
    roles: tuple[Role, ...]
    paint: Callable[[Sheet], None]
    words: Mapping[str, tuple[str, ...]]
    """Words with a fixed choice (``position``: wall, middle), first one by default."""


@cache
def measured(name: str) -> tuple[str, float]:
    """The measure that a unit is of, and its size in the unit of that measure; ("other", 1) for the rest."""
    try:
        own = unit(name)
    except Refused:
        return "other", 1.0
    for measure, base in _MEASURES.items():
        if own.kind == unit(base).kind:
            return measure, own.to(unit(base), 1.0)
    return "other", 1.0


class Sheet:
    """A pen, the exercise's numbers by role, and the account of what has been written."""

    def __init__(self, pen: Pen, kind: Kind, roles: Mapping[str, Shown], words: Mapping[str, str]) -> None:
        self.pen, self.kind, self.roles, self.words = pen, kind, roles, words
        self.sentences: list[str] = []
        self.scale_says = _("not to scale")
        self._dimensions = {role.name: role.dimension for role in kind.roles}
        self._written: set[str] = set()
        self._forced = False
        self.unit = self._drawing_unit()

    def _drawing_unit(self) -> str:
        for role in self.kind.roles:
            if role.dimension == "length" and role.name in self.roles:
                return self.roles[role.name].unit
        return "mm"

    # ------------------------------------------------------------ numbers
    def has(self, *names: str) -> bool:
        """True if the exercise has all these numbers."""
        return self.roles.keys() >= set(names)

    def value(self, name: str, default: float = math.nan) -> float:
        """A number to draw with: lengths in the drawing's unit, currents in A, times in s, angles in degrees."""
        shown = self.roles.get(name)
        if shown is None:
            return default
        dimension = self._dimensions.get(name, "any")
        factor = measured(shown.unit)[1] if dimension != "any" else 1.0
        return shown.value * factor / (measured(self.unit)[1] if dimension == "length" else 1.0)

    def unknown(self, name: str) -> bool:
        """True if this is the number asked for."""
        return name in self.roles and "?" in self.roles[name].text

    def count(self, name: str, default: int, most: int) -> tuple[int, bool]:
        """How many pieces to draw, and whether that is all of them: not if too many, or if asked for."""
        if not self.has(name):
            return default, False
        if self.unknown(name):
            return default, False
        exact = max(1, math.ceil(self.value(name) - 1e-9))
        return min(exact, most), exact <= most

    def pieces(self, name: str, reckoned: float) -> int:
        """How many alike pieces there are: as given, else as the geometry needs, rounded up; at least one."""
        known = self.has(name) and not self.unknown(name)
        return max(1, math.ceil(round(self.value(name) if known else reckoned, 9)))

    def word(self, name: str) -> str:
        """A chosen word of this kind, the first choice by default."""
        return self.words.get(name, self.kind.words[name][0])

    # ------------------------------------------------------------ writing
    def tag(self, name: str) -> str:
        """Symbol and number as printed: ``L = 12 in``. Counts as written."""
        self._written.add(name)
        return self._tag(name)

    def _tag(self, name: str) -> str:
        shown = self.roles[name]
        symbol = cut(shown.symbol, 13, 110)
        return f"{symbol} = {shown.text}" if symbol else shown.text

    def _left(self, name: str) -> str:
        """A number for the foot, where no place says what it is: a symbol of no letters gives way to the words."""
        says = next((role.says for role in self.kind.roles if role.name == name), "")
        if says and not self.roles[name].symbol:
            return f"{_(says)} = {self.tag(name)}"
        return self.tag(name).replace(" ", "\u00a0")

    def _look(self, name: str) -> str:
        return "size live" if self.live(name) else "size"

    def live(self, name: str) -> bool:
        """True if the number is drawn in the strong colour."""
        return name in self.roles and (self.roles[name].live or self.unknown(name))

    def put(self, name: str, *spots: Spot, lead: tuple[float, float] | None = None) -> None:
        """Write a number at the first free spot, if the exercise has it."""
        if self.has(name):
            self.pen.label(self.tag(name), *spots, look=self._look(name), lead=lead)

    def point(self, name: str, x: float, y: float, tx: float, ty: float) -> None:
        """Write a number with a pointing line from (x, y), if the exercise has it."""
        if self.has(name):
            self.pen.leader(x, y, tx, ty, self.tag(name), self._look(name))

    def dim_h(
        self, name: str, x1: float, x2: float, y: float, ext: tuple[float | None, float | None] = (None, None)
    ) -> None:
        """A level dimension for a number, if the exercise has it."""
        if self.has(name):
            self.pen.dim_h(x1, x2, y, self.tag(name), ext, self.live(name))

    def dim_v(
        self,
        name: str,
        x: float,
        y1: float,
        y2: float,
        ext: tuple[float | None, float | None] = (None, None),
        side: str = "left",
    ) -> None:
        """An upright dimension for a number, if the exercise has it."""
        if self.has(name):
            self.pen.dim_v(x, y1, y2, self.tag(name), ext, self.live(name), side)

    def say(self, sentence: str) -> None:
        """A sentence of the description."""
        self.sentences.append(sentence)

    def numbered(self, sentence: str, count: int) -> None:
        """Say which of several alike pieces are drawn: they are numbered from one. ``sentence`` is of the catalogue."""
        if count > 1:
            self.say(_(sentence, numbers=", ".join(str(k + 1) for k in range(count))))

    # ------------------------------------------------------------ scale
    def kept(self, px: float, least: float, most: float = math.inf) -> float:
        """A size to draw, not thinner nor larger than can be seen; where that changes it, the scale says so."""
        if px < least or px > most:
            self._forced = True
        return min(max(px, least), most)

    def squares(self, px: float, x: float, y: float) -> None:
        """Graph paper through (x, y) where ``px`` is the length of one unit; none where a length is asked for."""
        lengths = [name for name, dimension in self._dimensions.items() if dimension == "length"]
        if any(self.unknown(name) for name in lengths):
            self.scale_says = _("to scale, without squares: a length is asked for")
            return
        step = square(px)
        if step == 0:
            self.scale_says = _("to scale")
            return
        self.pen.paper(px * step, x, y)
        self.scale_says = _("1 square = %(size)s", size=quantity(step, self.unit))

    def finish(self) -> Figure:
        """Write what is left at the foot and close the drawing."""
        left = [name for name in self.roles if name not in self._written]
        for wanted in (False, True):
            tags = [self._left(name) for name in left if self.live(name) == wanted]
            self.pen.note("\u00a0· ".join(tags), "size live" if wanted else "say")
        part = cut(self.words.get("part", ""), 13, 300)
        title = f"{_(self.kind.title)}: {part}" if part else _(self.kind.title)
        says = {role.name: _(role.says) for role in self.kind.roles if role.name in self.roles}
        numbers = [
            f"{says[name]}: {self._tag(name)}" if name in says else self._tag(name) for name in self.roles
        ]
        told = [_(self.kind.view), *self.sentences, "; ".join(numbers) + "." if numbers else ""]
        if self._forced and self.scale_says != _("not to scale"):
            self.scale_says = _(
                "%(scale)s; what would be too thin or too large to see is not to scale", scale=self.scale_says
            )
        told.append(f"{self.scale_says[:1].upper()}{self.scale_says[1:]}.")
        desc = " ".join(sentence for sentence in told if sentence)
        svg = self.pen.finish(title, desc)
        return Figure(svg, title, desc, self.pen.width, self.pen.height, self.scale_says)


def square(px: float) -> float:
    """How many units one square of the graph paper is: 1, 2 or 5 times a power of ten, 14 to 35 px wide."""
    if not 1e-9 < px < 1e9:
        return 0
    power = 10.0 ** math.floor(math.log10(14 / px))
    step = next(k for k in (1, 2, 5, 10, 20) if k * power * px >= 14)
    return step * power


def check(kind: Kind, roles: Mapping[str, Shown], words: Mapping[str, str]) -> None:
    """Refuse numbers that cannot be drawn, with a sentence for the writer of the drill."""
    known = {role.name: role for role in kind.roles}
    for role in kind.roles:
        if role.required and role.name not in roles:
            raise Refused(
                f"The figure {kind.name} needs the number {role.name} ({role.says}): give it a role."
            )
    for name, shown in roles.items():
        if name not in known and not name.startswith("also"):
            raise Refused(
                f"The figure {kind.name} has no place for {name}: use one of {', '.join(known)}, "
                "or a name that begins with also."
            )
        _check_number(kind, known.get(name), name, shown)
    for name, word in words.items():
        choice = kind.words.get(name)
        if choice is not None and word not in choice:
            raise Refused(
                f"The figure {kind.name} knows {name} as {', '.join(choice)}: {word[:40]} is none of them."
            )


def _check_number(kind: Kind, role: Role | None, name: str, shown: Shown) -> None:
    if not math.isfinite(shown.value) or abs(shown.value) > _MOST:
        raise Refused(f"The number {name} of the figure {kind.name} cannot be drawn: give a finite number.")
    if role is None:
        return
    if role.dimension in ("length", "time", "count") and shown.value < 0:
        raise Refused(
            f"The number {name} of the figure {kind.name} is below zero: give {role.says} as zero or more."
        )
    if role.dimension == "length" and shown.value == 0 and role.required:
        raise Refused(f"The number {name} of the figure {kind.name} is zero: there would be nothing to draw.")
    found = measured(shown.unit)[0]
    if role.dimension in _NEEDED and found != role.dimension:
        raise Refused(
            f"The figure {kind.name} takes {name} as a {role.dimension}: the unit {shown.unit[:20]} is none it knows."
        )
