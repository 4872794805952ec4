"""Relations solved in a process of its own: the same forms, and an end when the time is over."""

from __future__ import annotations

import json
from io import StringIO
from pathlib import Path
from threading import Lock

import pytest

from trainer.errors import Busy, Refused
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


def test_it_solves_from_any_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What lies in the folder where the trainer was started is not taken for a part of it."""
    for name in ("trainer", "json"):
        (tmp_path / f"{name}.py").write_text("raise SystemExit")
    monkeypatch.chdir(tmp_path)
    with SolvedApart() as solver:
        assert solver(RELATION, "a") == by_sympy(RELATION, "a")


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


def test_after_its_block_it_solves_nothing() -> None:
    """Whoever asks too late is told that the time is over."""
    solver = SolvedApart()
    with solver:
        pass
    with pytest.raises(Refused, match="was not turned round for x while there was time"):
        solver(RELATION, "x")


def test_two_do_not_solve_at_once(monkeypatch: pytest.MonkeyPatch) -> None:
    """While one process solves, another drill has to wait, and is told so."""
    turn = Lock()
    monkeypatch.setattr(apart, "_TURN", turn)
    with turn, SolvedApart(seconds=0.01) as other, pytest.raises(Busy, match="Another drill"):
        other(RELATION, "x")
    assert not turn.locked()


def test_what_is_known_does_not_grow_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """At its limit everything known is let go, and the newest form is known again."""
    monkeypatch.setattr(apart, "MOST_KNOWN", 2)
    monkeypatch.setattr(SolvedApart, "_asked", lambda _self, _relation, symbol: f"form of {symbol}")
    with SolvedApart() as solver:
        assert [solver(RELATION, symbol) for symbol in "abxy"] == [f"form of {symbol}" for symbol in "abxy"]
    assert set(apart._known) == {("y = a*x**2 + b*x", "x"), ("y = a*x**2 + b*x", "y")}


def test_the_other_process_answers_line_by_line(monkeypatch: pytest.MonkeyPatch) -> None:
    """One question a line, one form a line, null where there is none, and an end with its input."""
    asked = [
        {"relation": "y = 2*a", "symbols": ["y", "a"], "symbol": "a"},
        {"relation": "y = a^b + a", "symbols": ["y", "a", "b"], "symbol": "a"},
    ]
    said = StringIO()
    monkeypatch.setattr("sys.stdin", StringIO("".join(json.dumps(one) + "\n" for one in asked)))
    monkeypatch.setattr("sys.stdout", said)
    apart.answer()
    assert [json.loads(line) for line in said.getvalue().splitlines()] == ["y/2", None]
