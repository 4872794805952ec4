"""Relations solved in a process of its own: the same forms, and an end when the time is over."""

from __future__ import annotations

import pytest

from trainer.errors import Refused
from trainer.formulas import apart
from trainer.formulas.apart import SolvedApart
from trainer.formulas.reading import read_relation
from trainer.formulas.solved import SolvedForms, by_sympy


@pytest.fixture(autouse=True)
def _nothing_known(monkeypatch: pytest.MonkeyPatch) -> None:
    """Begin as a program does that has just been started."""
    monkeypatch.setattr(apart, "_known", {})


RELATION = read_relation("y = a*x**2 + b*x", {"y", "a", "b", "x"})


def test_it_solves_as_this_process_does() -> None:
    """The form from outside is the form from inside, for one unknown after the other."""
    with SolvedApart() as solver:
        for symbol in ("a", "b", "x"):
            assert solver(RELATION, symbol) == by_sympy(RELATION, symbol)


def test_its_time_ends() -> None:
    """A process that has no time left is ended, and the sentence says what to write instead."""
    with SolvedApart(seconds=0.001) as solver, pytest.raises(Refused, match="write it simpler"):
        solver(RELATION, "x")


def test_the_next_one_is_not_held_up() -> None:
    """After one that was ended another solves."""
    with SolvedApart(seconds=0.001) as ended, pytest.raises(Refused):
        ended(RELATION, "x")
    with SolvedApart() as solver:
        assert solver(RELATION, "a") is not None


def test_what_is_solved_apart_stays_apart() -> None:
    """A copy of the forms keeps what it adds; the table it came from is as before."""
    forms = SolvedForms()
    copy = forms.apart(lambda _relation, _symbol: "y")
    assert copy.form(RELATION, "x") is not None
    assert (forms.added, copy.added) == (0, 1)


def test_what_was_solved_is_known() -> None:
    """The next check of the same drill needs no process, so it needs no time."""
    with SolvedApart() as solver:
        form = solver(RELATION, "a")
    with SolvedApart(seconds=0.0) as later:
        assert later(RELATION, "a") == form
