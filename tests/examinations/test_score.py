"""Scores are exact; nothing is rounded up."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.examinations.score import Score

verdicts = st.lists(st.sampled_from(["right", "wrong", "unreadable", ""]), min_size=1, max_size=60)


def test_just_below_the_mark_is_below() -> None:
    """1599 of 2000 is 79.95 percent, which is not 80."""
    assert not Score(1599, 2000, 80).passed
    assert Score(1600, 2000, 80).passed


@given(verdicts, st.integers(1, 100))
def test_one_more_right_answer_never_harms(given_verdicts: list[str], mark: int) -> None:
    """Turning a wrong verdict into a right one never lowers the score."""
    before = Score.of_verdicts(given_verdicts, mark)
    after = Score.of_verdicts([*given_verdicts[1:], "right"], mark)
    assert after.percent >= before.percent or given_verdicts[0] == "right"
    assert Score.of_data(before.as_data()) == before


def test_a_paper_without_items_has_no_score() -> None:
    """Nothing asked, nothing scored."""
    with pytest.raises(ValueError, match="without items"):
        Score.of_verdicts([], 80)
