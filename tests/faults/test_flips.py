"""A bit that turns over in the database is found by the checks, or does the ledger no harm. Long form: flipping.py."""

from __future__ import annotations

from pathlib import Path

from tests.faults.flipping import flips

CHAINED = ("countersignature", "entry", "link")


def test_no_bit_of_the_ledger_turns_over_unseen(tmp_path: Path) -> None:
    """Of sixty bits none changes an entry, a countersignature or a link without being named."""
    found = flips(tmp_path, 60)
    silent = [one for one in found if one.outcome.startswith("silent")]
    assert not [one for one in silent if any(table in one.outcome for table in CHAINED)]
    assert any(one.outcome == "named" for one in found)
