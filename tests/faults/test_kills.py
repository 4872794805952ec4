"""An acknowledged answer outlives the death of the trainer at any moment, once and not twice. Long form: killing.py."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.faults.dying import die_at_each_step
from tests.faults.killing import rounds

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="needs signals"),
]


@pytest.mark.timeout(900)
def test_kills_at_random_moments_under_load(tmp_path: Path) -> None:
    """Nothing acknowledged is lost or doubled, the chain holds, copies of the files open, it starts by itself."""
    count = rounds(tmp_path, kills=20, phones=4)
    assert count.bad == []
    assert (count.kills, count.copies) == (20, 20)
    assert count.acknowledged > 20
    assert count.sent_again > 0


def test_death_before_every_single_step(tmp_path: Path) -> None:
    """Whichever statement is the last one, the answer is kept whole or not at all, and can be sent again."""
    deaths = die_at_each_step(tmp_path)
    assert [death for death in deaths if not (death.after.well and death.again.well)] == []
    assert [death.after.answers for death in deaths] == list(range(len(deaths)))
    assert [death.again.answers for death in deaths] == list(range(1, len(deaths) + 1))
    assert len(deaths) >= 5
