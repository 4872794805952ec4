"""`trainer work` and `trainer mark`: keys, sentences, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

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


COIL = ["work", "coil", "-g", "L=10 in", "-g", "D=2 in", "-g", "coil=12 in", "-g", "N=5"]
PLATE = [
    "--rated",
    "3600 A",
    "--duty",
    "25 %",
    "--period",
    "4 min",
    "--lead",
    "4/0 AWG",
    "--lead-length",
    "10 m",
]


def test_work_takes_a_technique() -> None:
    """The case is named with its reason, the others with theirs, the pack with every answer."""
    data = json.loads(CliRunner().invoke(trainer, [*COIL, *PLATE, "--on", "4 s", "--json"]).stdout)
    assert (data["case"], data["drill"]) == ("low-wall-solid", "coil-low-fill-wall")
    assert data["answer"] == {"value": 1800.0, "unit": "A"}
    assert {one["case"]: one["value"] for one in data["elsewhere"]}["asme"] == pytest.approx(1000)
    assert data["pack"]["able"] is True
    assert data["pack"]["allowed"]["value"] == pytest.approx(1)
    assert data["pack"]["drop"] == {"value": pytest.approx(5.7888), "unit": "V"}
    assert "written procedure governs" in data["governs"]


def test_work_warns_before_it_answers() -> None:
    """A spacing over 8 in and a pack that is too small stand before the result."""
    asked = ["work", "prods", "-g", "s=9 in", "-g", "t=1 in", "--rated", "700 A"]
    said = CliRunner().invoke(trainer, asked).stdout
    assert said.index("WARNING: The prods stand more than 8 in") < said.index(
        "Answer: current I = 900 to 1125"
    )
    assert "WARNING: The current is above what the pack is rated for" in said
    assert "This pack cannot do it" in said


def test_no_case_is_no_result() -> None:
    """Where no documented case fits, the command says what is wanted and ends with 1."""
    done = CliRunner().invoke(trainer, [*COIL[:6], "-g", "N=5"])
    assert (done.exit_code, "give the coil bore (coil)" in done.stdout, "Answer" in done.stdout) == (
        1,
        True,
        False,
    )


def test_a_technique_tells_its_symbols() -> None:
    """Without any value the command names what may be given, with units and words."""
    done = CliRunner().invoke(trainer, ["work", "coil"])
    assert (done.exit_code, done.stdout) == (1, "")
    assert "coil coil bore (in)" in done.stderr
    assert "rule sheets or asme or navsea" in done.stderr


def test_decimals_by_the_habit_of_the_house(tmp_path: Path) -> None:
    """Where the settings say comma, 2,5 in is two and a half inches."""
    (tmp_path / "trainer.toml").write_text("decimal_comma = true\n", encoding="utf-8")
    asked = ["--instance", str(tmp_path), "work", "head-shot", "-g", "D=2,5 in", "--json"]
    assert json.loads(CliRunner().invoke(trainer, asked).stdout)["accepted"]["low"] == 750


@pytest.mark.parametrize(
    ("more", "says"),
    [
        (["-g", "ID=3 in"], "as wide as the part"),
        (["-g", "Q=3"], "has no 'Q'"),
        (["--rated", "3600"], "rated: A unit is missing"),
        (["--lead-length", "3 A"], "lead-length: A does not measure this"),
        (["--pack", "A", "--rated", "3600 A"], "not both"),
        (["--in", "mm"], "cannot be written in 'mm'"),
        (["--on", "x"], "on: The answer must begin"),
    ],
)
def test_bad_input_to_a_technique(more: list[str], says: str) -> None:
    """A fault ends with one sentence on standard error and no result."""
    done = CliRunner().invoke(trainer, [*COIL, *more])
    assert (done.exit_code, done.stdout) == (1, "")
    assert says in done.stderr


def test_a_drill_has_no_pack() -> None:
    """The options of a pack belong to techniques."""
    assert "judged for a technique" in CliRunner().invoke(trainer, [*WORK, "--rated", "3600 A"]).stderr


def test_work_with_a_pack_of_the_instance(tmp_path: Path) -> None:
    """A pack that was written down is taken by its name; one that is not there is said to be missing."""
    from tests.make import NOW, make_people
    from trainer.services.teaching import packs
    from trainer.shopwork.pack import Pack
    from trainer.store import Database
    from trainer.store.migrations import migrate

    database = Database(f"sqlite:///{(tmp_path / 'trainer.sqlite').as_posix()}")
    migrate(database)
    with database.writing() as session:
        plate = Pack("Pack A", {"rated": 1200.0, "duty": 0.2, "period": 240.0})
        packs.add(session, make_people(session).ian, plate, NOW)
    database.close()
    base = ["--instance", str(tmp_path), *COIL]
    data = json.loads(CliRunner().invoke(trainer, [*base, "--pack", "pack a", "--json"]).stdout)
    assert (data["pack"]["name"], data["pack"]["able"]) == ("Pack A", False)
    missing = CliRunner().invoke(trainer, [*base, "--pack", "Pack Z"])
    assert (missing.exit_code, "no pack called Pack Z" in missing.stderr) == (2, True)
