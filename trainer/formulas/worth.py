"""What each unit is worth in base units: worked out by pint, kept as text, so that a start needs no pint.

The kept table names what it was made from. Where the definitions have changed since, pint works them out
again at every start, until the test of the table writes it anew.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any, NamedTuple

DEFINITIONS = Path(__file__).with_name("units.txt")
KEPT = Path(__file__).with_name("worth.json")


class Worth(NamedTuple):
    """Value in base units = value * factor + offset; ``kind`` says what it can be turned into."""

    kind: str
    factor: float
    offset: float


def worth_of(expressions: Mapping[str, str]) -> dict[str, Worth]:
    """What each unit is worth, by name, from its expression; from the kept table where it is of these."""
    try:
        kept = json.loads(KEPT.read_text(encoding="utf-8"))
        if kept["made_from"] == made_from(expressions):
            return {name: Worth(*row) for name, row in kept["units"].items()}
    except (OSError, ValueError, LookupError, TypeError):
        pass  # it only saves time: what is missing or damaged is worked out
    return worked_out(expressions)


def made_from(expressions: Mapping[str, str]) -> str:
    """A digest of everything that the worth of a unit hangs on."""
    return sha256(json.dumps(dict(expressions)).encode() + DEFINITIONS.read_bytes()).hexdigest()


def worked_out(expressions: Mapping[str, str]) -> dict[str, Worth]:
    """Let pint work out what each unit is worth."""
    import pint

    registry: Any = pint.UnitRegistry(str(DEFINITIONS), cache_folder=None)
    found = {}
    for name, expression in expressions.items():
        zero, one = (_base(registry, expression, value) for value in (0.0, 1.0))
        kind = str(sorted((str(k), round(float(v), 3)) for k, v in one.dimensionality.items()))
        found[name] = Worth(kind, float(one.magnitude - zero.magnitude), float(zero.magnitude))
    return found


def table(expressions: Mapping[str, str]) -> str:
    """The text of the table to be kept, one unit a line."""
    rows = [
        f"  {json.dumps(name)}: {json.dumps(list(worth))}" for name, worth in worked_out(expressions).items()
    ]
    units = ",\n".join(rows)
    return f'{{\n "made_from": "{made_from(expressions)}",\n "units": {{\n{units}\n }}\n}}\n'


def _base(registry: Any, expression: str, value: float) -> Any:
    if expression.startswith("degree_"):
        return registry.Quantity(value, expression).to("kelvin")
    return (value * registry.Quantity(expression)).to_base_units()
