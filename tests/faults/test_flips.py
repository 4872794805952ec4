"""What a bad disk does to records is found by the checks, or does the ledger no harm. Long: flipping.py, exported.py."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.faults.exported import TIME, kinds, outcomes
from tests.faults.flipping import HARMS, harmed
from tests.records.record_cases import SHOP
from trainer.records import chain, jcs

CHAINED = ("countersignature", "entry", "link")


@pytest.mark.parametrize("harm", HARMS)
def test_no_harm_to_the_ledger_is_unseen(tmp_path: Path, harm: str) -> None:
    """Of sixty bits, pages or cuts none changes an entry, a countersignature or a link without being named."""
    found = harmed(tmp_path, 60 if harm == "bit" else 20, harms=(harm,))
    silent = [one for one in found if one.outcome.startswith("silent")]
    assert not [one for one in silent if any(table in one.outcome for table in CHAINED)]
    assert any(one.outcome == "named" for one in found)


def test_no_spoilt_file_is_believed(tmp_path: Path) -> None:
    """Some bits and cuts of each kind of file that leaves the house are named, or nothing of it is changed."""
    for name, kind in kinds(tmp_path).items():
        found = outcomes(kind, 12)
        assert found.keys() <= {"named", "harmless"}, name
        assert found["named"], name
        assert kind.judge(kind.whole) == ("named" if name == "status list" else "harmless"), name


def test_what_says_something_else_is_called_believed(tmp_path: Path) -> None:
    """The count can fail: another head that the same hand signed is read, and is not what was meant."""
    other = chain.head_of([chain.link(0, TIME, {"kind": "experience"}, chain.START)], TIME)
    signed = jcs.written(chain.signed_head(other, SHOP))
    assert kinds(tmp_path)["head of the chain"].judge(signed) == "believed"
