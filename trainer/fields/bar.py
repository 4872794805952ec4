"""A long steel bar with a short winding round it: how far along the bar the field reaches.

The bar is taken for a line that carries flux lengthwise and loses it sideways into the air, as an electric
line carries current and leaks: potential and flux fall off as exp(-x/length). The leak for each metre is that
of a round bar whose flux goes out to about twice the same length, so that the length is found by repetition.
Ours; a model that gives the size of the reach, not its last tenth.
"""

from __future__ import annotations

import math


def decay_length(radius: float, permeability: float) -> float:
    """Over which length along the bar the field falls to 37 percent, m."""
    length = radius * math.sqrt(permeability)
    for _ in range(60):
        length = radius * math.sqrt(permeability * math.log(max(2 * length / radius, 1.5)) / 2)
    return length


def along(ampere_turns: float, radius: float, permeability: float, x: float) -> float:
    """The field in the bar, and so along its surface, at x from the middle of the winding, A/m."""
    length = decay_length(radius, permeability)
    return ampere_turns / (2 * length) * math.exp(-abs(x) / length)
