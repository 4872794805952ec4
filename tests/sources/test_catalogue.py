"""The bank keeps the catalogue's contract: ids, symbols, units, relations, finds."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest
import yaml

from tests.banks import shipped_shelf
from trainer.bank import Bank
from trainer.formulas.reading import read_relation

CATALOGUE: dict[str, dict[str, Any]] = yaml.safe_load(
    Path(__file__).with_name("catalogue.yaml").read_text("utf-8")
)


@cache
def _bank() -> Bank:
    return shipped_shelf().bank


@pytest.mark.parametrize("drill_id", CATALOGUE)
def test_contract(drill_id: str) -> None:
    """Symbols, working units, relations, finds and marks of a drill are the catalogue's."""
    wanted, drill = CATALOGUE[drill_id], _bank().drill(drill_id).drill
    symbols = set(drill.quantities)
    assert symbols >= set(wanted["units"])
    own = [read_relation(text, symbols) for text in drill.relations]
    assert own == [read_relation(text, symbols) for text in wanted["relations"]]
    assert set(drill.finds) == set(wanted["finds"])
    for symbol, unit in wanted["units"].items():
        assert drill.quantities[symbol].unit in {unit, f"{unit}-turn"}, symbol
    assert drill.unconfirmed == wanted.get("unconfirmed", False)
    assert set(drill.any_unit) == set(wanted.get("any_unit", []))
    if "band" in wanted:
        assert drill.finds[wanted["band"]].band is not None
