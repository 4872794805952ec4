"""Field arrows against the currents drawn beside them: the right hand's rule, by the sum of long straight wires."""

from __future__ import annotations

import math
import re

import pytest
from figure_samples import choose, random_numbers

from trainer.drawing.figures import Figure, draw

KINDS = (
    "bar-section-field",
    "coil",
    "conductor-centred",
    "conductor-field",
    "head-shot",
    "part-in-coil",
    "solenoid",
)
WIRE = re.compile(
    r'<circle class="wire" cx="([\d.]+)" cy="([\d.]+)" r="[\d.]+"/>\n<(circle class="wire-mark"|path class="wire-cross")'
)
TIP = re.compile(r'<path class="flux-tip" d="M([\d. ]+)L([\d. ]+)L([\d. ]+)Z"')


def point(text: str) -> complex:
    """A place on the sheet."""
    x, y = text.split()
    return complex(float(x), float(y))


def currents(figure: Figure) -> list[tuple[complex, int]]:
    """Where the wires are cut, and 1 for a current towards the eye, -1 for one away from it."""
    return [
        (complex(float(x), float(y)), 1 if "mark" in mark else -1) for x, y, mark in WIRE.findall(figure.svg)
    ]


def agrees(at: complex, way: complex, wires: list[tuple[complex, int]]) -> bool:
    """True if the field of the wires at a place points within sixty degrees of an arrow; y counts downwards."""
    off = [(at - place, sign) for place, sign in wires if abs(at - place) > 0.5]
    field = sum(sign * complex(d.imag, -d.real) / abs(d) ** 2 for d, sign in off)
    return (field * way.conjugate()).real > math.cos(math.radians(60)) * abs(field) * abs(way)


@pytest.mark.parametrize("kind", KINDS)
def test_fields_run_as_the_right_hand_says(kind: str) -> None:
    """Round a current into the page the field runs clockwise; in a coil it runs as its turns make it."""
    seen = 0
    for seed in range(40):
        figure = draw(kind, "f", random_numbers(kind, seed), choose(kind, seed))
        wires = currents(figure)
        for tip, one, other in TIP.findall(figure.svg):
            back = (point(one) + point(other)) / 2
            assert agrees(back, point(tip) - back, wires), (seed, wires)
            seen += 1
    assert seen > 20
    assert not agrees(back, back - point(tip), wires)
