"""The ladder of hints."""

from trainer.practice.ladder import RUNGS, following


def test_the_rungs_follow_each_other() -> None:
    """Formula, first step, whole working, and nothing above."""
    assert [following(hints, steps=3) for hints in range(4)] == [*RUNGS, None]


def test_one_step_has_no_first_step() -> None:
    """Where the working is one line its first line would be the answer: the rung is left out."""
    assert following(1, steps=1) == "working"
