"""The published and recomputed figures that the statistics are held to; each example names its source and mark."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from trainer.statistics.replies import Table

_DATA = json.loads((Path(__file__).parent / "vectors" / "psychometrics.json").read_text(encoding="utf-8"))
EXAMPLES: dict[str, Any] = {one["id"].split("-")[0]: one for one in _DATA["examples"]}
PRECISION: list[dict[str, Any]] = _DATA["sample_size_precision"]["rows"]


def table(example: str) -> Table:
    """The people by items of an example with 0 and 1."""
    found = EXAMPLES[example]
    if "data_rows_persons" in found:
        rows = [tuple(row) for row in found["data_rows_persons"]]
    else:
        rows = [
            tuple(map(int, one["pattern"])) for one in found["pattern_counts"] for _ in range(one["count"])
        ]
    items = tuple(f"i{number}" for number in range(1, len(rows[0]) + 1))
    return Table(tuple(range(len(rows))), items, tuple(rows))
