"""Every row of tests/SECURITY.md that names a test names one that exists."""

from __future__ import annotations

import re
from pathlib import Path

HOUSE = Path(__file__).parents[2]
NAMED = re.compile(r"`(tests/[\w/]+\.py)(?:::(\w+))?`")


def test_every_named_test_exists() -> None:
    """A row whose test was renamed or lost is seen."""
    named = NAMED.findall((HOUSE / "tests" / "SECURITY.md").read_text(encoding="utf-8"))
    assert len(named) > 30
    lost = [
        f"{file}::{name}"
        for file, name in named
        if not (HOUSE / file).is_file() or f"def {name}" not in (HOUSE / file).read_text(encoding="utf-8")
    ]
    assert lost == []
