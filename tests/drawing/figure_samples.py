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
    "field-angle": {
        "angle": ("angle", "deg", 10, 90),
        "field": ("H", "A/m", 1000, 6000),
        "useful": ("Hn", "A/m", 500, 5000),
    },
    "field-indicator": {"marks": ("m", "1", 1, 10), "rate": ("k", "Oe", 0.5, 5), "field": ("H", "Oe", 1, 40)},
    "field-probe": {
        "field": ("Hrms", "kA/m", 1, 5),
        "flux": ("B", "G", 10, 80),
        "peak": ("Hp", "kA/m", 2, 8),
        "crest": ("crest", "1", 1.4, 3),
    },
    "ammeter-scale": {
        "full": ("FS", "A", 1000, 6000),
        "reading": ("I", "A", 300, 5000),
        "accuracy": ("p", "percent", 1, 10),
        "error": ("e", "A", 10, 300),
        "test": ("M", "A", 150, 2500),
    },
    "waveform": {
        "peak": ("Ip", "A", 100, 6000),
        "rms": ("Irms", "A", 50, 4000),
        "mean": ("Iav", "A", 40, 4000),
        "half": ("Ihalf", "A", 60, 4000),
        "form": ("ff", "1", 1, 2),
    },
    "spaced-pulses": {
        "peak": ("Ip", "A", 100, 6000),
        "pulse": ("tp", "ms", 5, 10),
        "period": ("T", "ms", 20, 200),
        "mean": ("Iav", "A", 10, 1000),
        "rms": ("Irms", "A", 20, 2000),
        "rate": ("f", "Hz", 5, 50),
    },
    "counted-pulses": {
        "pulses": ("n", "1", 10, 120),
        "time": ("t", "s", 0.2, 2),
        "frequency": ("f", "Hz", 50, 60),
    },
    "duty-cycle": {
        "on": ("ton", "s", 2, 120),
        "off": ("toff", "s", 10, 300),
        "period": ("T", "s", 20, 400),
        "duty": ("D", "1", 0.05, 0.6),
        "current": ("I", "A", 500, 4000),
        "equivalent": ("Ieq", "A", 200, 2000),
        "second": ("I2", "A", 300, 3000),
        "second-on": ("t2", "s", 2, 60),
    },
    "pulse-train": {
        "on": ("tp", "s", 0.5, 2),
        "gap": ("gap", "s", 0.5, 8),
        "pulses": ("n", "1", 2, 10),
        "total": ("T", "s", 5, 60),
        "current": ("I", "A", 500, 4000),
        "equivalent": ("Ieq", "A", 200, 2500),
    },
    "duty-curve": {
        "rated": ("I1", "A", 800, 4000),
        "rated-duty": ("D1", "1", 0.1, 0.6),
        "current": ("I2", "A", 500, 3000),
        "duty": ("D2", "1", 0.1, 1),
    },
    "time-curve": {
        "current": ("I1", "A", 500, 4000),
        "time": ("t1", "s", 5, 120),
        "second": ("I2", "A", 500, 4000),
        "second-time": ("t2", "s", 5, 300),
    },
    "shots-in-hour": {
        "shots": ("n", "1", 10, 400),
        "on": ("t", "s", 1, 30),
        "current": ("I", "A", 500, 4000),
    },
    "cable-run": {
        "length": ("l", "m", 3, 30),
        "current": ("I", "A", 300, 3600),
        "drop": ("V", "V", 1, 20),
        "resistance": ("R", "mΩ", 1, 10),
        "heat": ("P", "W", 100, 20000),
        "joint": ("Rj", "mΩ", 0.1, 2),
    },
    "lead": {
        "length": ("L", "m", 3, 30),
        "area": ("A", "mm2", 35, 240),
        "resistance": ("R", "mΩ", 0.5, 10),
        "material": ("rho", "Ω·mm²/m", 0.0172, 0.03),
        "leads": ("n", "1", 2, 6),
        "mass": ("m", "kg", 2, 60),
    },
    "cable-section": {
        "diameter": ("d", "mm", 1, 20),
        "area": ("A", "mm2", 1, 300),
        "mils": ("cmil", "cmil", 2000, 400000),
    },
    "leads-in-parallel": {
        "leads": ("n", "1", 2, 6),
        "current": ("I", "A", 500, 4000),
        "single": ("R", "mΩ", 1, 5),
        "together": ("Rp", "mΩ", 0.3, 2),
        "heat": ("P", "W", 100, 20000),
    },
    "two-leads": {
        "spacing": ("s", "mm", 50, 600),
        "radius": ("a", "mm", 5, 15),
        "current": ("I", "A", 500, 6000),
        "force": ("F", "N/m", 1, 100),
        "length": ("l", "m", 5, 30),
        "reactance": ("X", "mΩ", 1, 20),
    },
    "section-heat": {
        "area": ("A", "mm2", 35, 120),
        "current": ("I", "A", 1000, 6000),
        "time": ("t", "s", 5, 120),
        "start": ("T1", "°C", 10, 40),
        "end": ("T2", "°C", 45, 110),
        "resistance": ("R1", "mΩ", 1, 5),
        "hot": ("R2", "mΩ", 1.2, 6),
    },
    "sling": {
        "angle": ("angle", "deg", 30, 75),
        "leg": ("F", "kN", 0.5, 10),
        "mass": ("m", "kg", 50, 900),
        "legs": ("n", "1", 2, 4),
        "weight": ("W", "kN", 0.5, 9),
    },
    "outlet-load": {
        "voltage": ("V", "V", 110, 400),
        "first": ("I1", "A", 2, 10),
        "second": ("P2", "W", 300, 2000),
        "total": ("I", "A", 5, 20),
        "limit": ("limit", "A", 10, 32),
        "left": ("left", "A", 1, 10),
    },
    "demag-decay": {
        "start": ("I0", "A", 500, 6000),
        "end": ("If", "A", 5, 60),
        "fall": ("p", "1", 0.1, 0.4),
        "steps": ("n", "1", 8, 30),
        "step": ("k", "1", 1, 6),
        "current": ("I", "A", 50, 2000),
    },
    "coil-axis-field": {
        "radius": ("R", "m", 0.1, 0.5),
        "distance": ("x", "m", 0.05, 1),
        "turns": ("N", "1", 3, 6),
        "current": ("I", "A", 200, 3000),
        "field": ("H", "A/m", 100, 20000),
    },
    "withdrawal": {
        "radius": ("R", "m", 0.1, 0.5),
        "distance": ("x", "m", 0.3, 2),
        "turns": ("N", "1", 3, 6),
        "current": ("I", "A", 200, 3000),
        "field": ("H", "A/m", 100, 500),
    },
    "skin-depth": {
        "depth": ("delta", "mm", 0.2, 5),
        "frequency": ("f", "Hz", 50, 400),
        "permeability": ("mur", "1", 50, 1000),
        "resistivity": ("rho", "Ω·m", 1e-7, 8e-7),
    },
    "lamp-distance": {
        "distance": ("d1", "mm", 200, 500),
        "other": ("d2", "mm", 300, 900),
        "reading": ("E1", "W/m2", 10, 60),
        "there": ("E2", "W/m2", 5, 30),
    },
    "lamp-offset": {
        "height": ("h", "m", 0.5, 2.5),
        "aside": ("x", "m", 0.2, 2),
        "under": ("E1", "lx", 500, 2000),
        "there": ("E2", "lx", 100, 1500),
    },
    "settling-tube": {
        "layer": ("Vt", "mL", 0.15, 0.45),
        "dirt": ("Vd", "mL", 0.02, 0.1),
        "particles": ("V", "mL", 0.1, 0.4),
    },
    "bath-tank": {
        "volume": ("Vol", "L", 20, 120),
        "vehicle": ("add", "L", 2, 40),
        "concentrate": ("c", "g/L", 0.5, 2),
        "measured": ("Vm", "mL", 0.1, 0.4),
        "target": ("Vt", "mL", 0.15, 0.3),
    },
    "indication-shape": {
        "length": ("l", "mm", 2, 20),
        "width": ("w", "mm", 0.5, 5),
        "ratio": ("ratio", "1", 1, 10),
    },
    "indication-chain": {
        "first": ("d1", "mm", 1, 4),
        "second": ("d2", "mm", 1, 4),
        "here": ("x1", "mm", 5, 10),
        "next": ("x2", "mm", 12, 25),
        "gap": ("gap", "mm", 1, 8),
    },
    "scale-pair": {"upper": ("a", "in", 0.1, 60), "lower": ("b", "mm", 3, 1500)},
    "score-bar": {
        "general": ("g", "percent", 60, 100),
        "specific": ("s", "percent", 60, 100),
        "practical": ("p", "percent", 60, 100),
        "composite": ("c", "percent", 70, 100),
        "mark": ("pass", "percent", 70, 80),
    },
    "band-line": {
        "low": ("low", "A", 2000, 9000),
        "high": ("high", "A", 3000, 12000),
        "value": ("NI", "A", 2500, 10000),
        "tolerance": ("tol", "1", 0.05, 0.2),
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


def choose(kind: str, seed: int) -> dict[str, str]:
    """A choice of the words of a kind for a seed."""
    chance = random.Random(f"words/{kind}/{seed}")
    return {name: chance.choice(choice) for name, choice in KINDS[kind].words.items()}
