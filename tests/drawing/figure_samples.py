"""Plausible numbers for every kind of figure: symbol, unit, lowest and highest value of each role."""

from __future__ import annotations

import random

from trainer.drawing.figures import KINDS, Shown
from trainer.drawing.text import number

Range = tuple[str, str, float, float]
SAMPLES: dict[str, dict[str, Range]] = {
    "part-in-coil": {
        "length": ("L", "in", 4, 36),
        "diameter": ("D", "in", 0.5, 6),
        "bore": ("bore", "in", 8, 20),
        "turns": ("N", "1", 3, 6),
        "current": ("I", "A", 200, 6000),
    },
    "round-bar": {"length": ("L", "in", 3, 40), "diameter": ("D", "in", 0.5, 5), "piece": ("p", "in", 1, 6)},
    "coil": {"turns": ("N", "1", 3, 8), "current": ("I", "A", 100, 5000)},
    "coil-fill": {"bore": ("coil", "in", 6, 20), "diameter": ("D", "in", 1, 12), "ratio": ("r", "1", 2, 10)},
    "tube-section": {
        "outside": ("OD", "in", 2, 12),
        "inside": ("ID", "in", 1, 11),
        "effective": ("Deff", "in", 1, 6),
    },
    "cable-wrap-sections": {
        "length": ("L", "in", 30, 120),
        "reach": ("Z", "in", 9, 18),
        "overlap": ("s", "1", 0.05, 0.2),
        "positions": ("n", "1", 2, 12),
        "diameter": ("D", "in", 2, 8),
        "turns": ("N", "1", 3, 6),
    },
    "winding-window": {
        "window": ("S", "mm2", 400, 5000),
        "wire": ("Aw", "mm2", 1, 60),
        "fill": ("kz", "1", 0.3, 0.8),
        "turns": ("N", "1", 5, 500),
        "current": ("I", "A", 5, 200),
    },
    "solenoid": {
        "length": ("l", "m", 0.1, 1),
        "turns": ("N", "1", 5, 500),
        "current": ("I", "A", 5, 2000),
    },
    "prods-on-plate": {
        "spacing": ("s", "in", 2, 8),
        "thickness": ("t", "in", 0.25, 3),
        "current": ("I", "A", 200, 1000),
    },
    "prod-placements": {
        "weld": ("W", "in", 8, 60),
        "spacing": ("s", "in", 3, 8),
        "overlap": ("o", "in", 0.5, 2),
        "placements": ("n", "1", 2, 12),
    },
    "head-shot": {
        "diameter": ("D", "in", 0.5, 8),
        "length": ("L", "in", 4, 40),
        "current": ("I", "A", 200, 6000),
        "rate": ("a", "A/in", 300, 800),
    },
    "bar-section-field": {
        "diameter": ("D", "mm", 10, 200),
        "current": ("I", "A", 100, 4000),
        "field": ("H", "A/m", 1000, 10000),
        "flux": ("B", "mT", 1, 10),
    },
    "conductor-centred": {
        "outside": ("OD", "in", 2, 12),
        "inside": ("ID", "in", 1.5, 10),
        "conductor": ("d", "in", 0.5, 2),
        "current": ("I", "A", 500, 6000),
        "rate": ("a", "A/in", 300, 800),
    },
    "conductor-offset": {
        "conductor": ("d", "in", 0.5, 2),
        "outside": ("OD", "in", 4, 20),
        "wall": ("t", "in", 0.25, 2),
        "current": ("I", "A", 500, 4000),
        "shots": ("n", "1", 3, 20),
        "reach": ("4d", "in", 2, 8),
    },
    "conductor-passes": {
        "passes": ("n", "1", 2, 6),
        "current": ("I", "A", 200, 2000),
        "single": ("I1", "A", 1000, 8000),
    },
    "conductor-field": {
        "distance": ("r", "mm", 10, 500),
        "current": ("I", "A", 100, 4000),
        "field": ("H", "A/m", 100, 10000),
        "flux": ("B", "mT", 0.1, 10),
    },
    "ring": {
        "radius": ("r", "mm", 30, 300),
        "turns": ("N", "1", 3, 200),
        "current": ("I", "A", 5, 1000),
        "field": ("H", "A/m", 100, 10000),
    },
    "ring-as-turn": {
        "turns": ("Np", "1", 3, 12),
        "primary": ("Ip", "A", 50, 800),
        "current": ("Iring", "A", 500, 5000),
        "perimeter": ("p", "mm", 50, 500),
        "field": ("H", "kA/m", 2, 5),
    },
    "yoke-on-bar": {
        "length": ("a", "in", 5, 14),
        "width": ("b", "in", 1, 4),
        "height": ("c", "in", 0.5, 3),
        "mass": ("m", "lb", 10, 50),
        "force": ("F", "N", 40, 250),
    },
    "pole-face": {"area": ("A", "cm2", 2, 20), "flux": ("B", "T", 0.3, 1.6), "force": ("F", "N", 30, 800)},
}


def shown(name: str, sample: Range, value: float) -> Shown:
    """A number as an exercise would print it."""
    symbol, unit = sample[:2]
    return Shown(value, unit, number(value, 3) + ("" if unit == "1" else f"\u202f{unit}"), symbol)


def asked(given: Shown) -> Shown:
    """The same number as the one asked for."""
    return Shown(given.value, given.unit, "?", given.symbol, True)


def _tidy(value: float, whole: bool) -> float:
    return float(max(1, round(value))) if whole else float(f"{value:.3g}")


def typical(kind: str, unknown: str | None = None) -> dict[str, Shown]:
    """The middle of every range."""
    return _numbers(kind, lambda low, high: (low * high) ** 0.5 if low > 0 else (low + high) / 2, unknown)


def random_numbers(kind: str, seed: int) -> dict[str, Shown]:
    """Numbers for a seed: inside the ranges, on every fifth seed a hundred times beyond; some roles left out."""
    chance = random.Random(f"{kind}/{seed}")
    wild = 100.0 if seed % 5 == 0 else 1.0

    def pick(low: float, high: float) -> float:
        if low <= 0:
            return chance.uniform(low, high)
        low, high = low / wild, high * wild
        return float(low * (high / low) ** chance.random())

    names = list(SAMPLES[kind])
    numbers = _numbers(kind, pick, chance.choice(names) if seed % 3 else None)
    needed = {role.name for role in KINDS[kind].roles if role.required}
    return {name: n for name, n in numbers.items() if name in needed or chance.random() < 0.85}


def _numbers(kind: str, pick, unknown: str | None) -> dict[str, Shown]:  # type: ignore[no-untyped-def]
    counts = {role.name for role in KINDS[kind].roles if role.dimension == "count"}
    result = {}
    for name, sample in SAMPLES[kind].items():
        given = shown(name, sample, _tidy(pick(sample[2], sample[3]), name in counts))
        result[name] = asked(given) if name == unknown else given
    return result
