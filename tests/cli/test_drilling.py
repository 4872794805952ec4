"""`trainer work` and `trainer mark`: keys, sentences, exit codes."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from trainer.cli import trainer

WORK = ["work", "coil-low-fill-wall", "--given", "L=10 in", "--given", "D=2 in", "--given", "N=5"]
MARK = ["mark", "coil-low-fill-wall", "--seed", "7", "--answer"]


def test_work_solves_a_real_part() -> None:
    """T.O. 33B-1-1: 45 000 over 5 over 5 turns is 1800 A."""
    data = json.loads(CliRunner().invoke(trainer, [*WORK, "--json"]).stdout)
    assert data["answer"] == {"value": 1800.0, "unit": "A"}
    data = json.loads(CliRunner().invoke(trainer, [*WORK, "--in", "kA", "--json"]).stdout)
    assert data["answer"] == {"value": pytest.approx(1.8), "unit": "kA"}


def test_work_in_words_ends_with_the_caution() -> None:
    """The written procedure rules, whatever was worked out."""
    said = CliRunner().invoke(trainer, WORK).stdout
    assert "Answer: current I = 1800\u202fA" in said
    assert "the written procedure rules" in said


@pytest.mark.parametrize(("given", "says"), [("L", "not of the form SYMBOL=VALUE"), ("D=3 in", "given twice"), ("Q=3", "has no quantity 'Q'")])  # fmt: skip
def test_bad_given_is_one_sentence(given: str, says: str) -> None:
    """A faulty --given ends with a sentence and no result."""
    done = CliRunner().invoke(trainer, [*WORK, "--given", given])
    assert done.exit_code in {1, 2}
    assert done.stdout == ""
    assert says in done.stderr


def right_amperes() -> float:
    """What the drawn exercise wants, in amperes."""
    drawn = CliRunner().invoke(trainer, ["bank", "draw", *MARK[1:-1], "--json"]).stdout
    return float(json.loads(drawn)["answer"]["value"])


@pytest.mark.parametrize(
    ("shape", "verdict", "code"),
    [
        ("{a:.4g} A", "right", 0),
        ("{k:.4g} kA", "right", 0),
        ("{w:.4g} A", "wrong", 1),
        ("{a:.4g}", "unreadable", 2),
    ],
)
def test_mark_says_it_by_exit_code(shape: str, verdict: str, code: int) -> None:
    """Right is 0, wrong 1, unreadable 2, with the same three keys each time."""
    right = right_amperes()
    answer = shape.format(a=right, k=right / 1000, w=right / 2)
    done = CliRunner().invoke(trainer, [*MARK, answer, "--json"])
    data = json.loads(done.stdout)
    assert (data["verdict"], done.exit_code) == (verdict, code)
    assert data.keys() == {"verdict", "slip", "says"}


def test_mark_with_decimal_comma() -> None:
    """1,047 is just over one for whoever writes decimals with a comma."""
    typed = f"{right_amperes() / 1000:.4f} kA".replace(".", ",")
    assert CliRunner().invoke(trainer, [*MARK, typed, "--decimal", "comma"]).exit_code == 0
