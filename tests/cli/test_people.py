"""`trainer person` and `trainer roster`."""

from __future__ import annotations

import csv
import json
import os
import stat
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from trainer.cli import people, trainer
from trainer.store.models import ROLES


@pytest.fixture
def instance(tmp_path: Path) -> Path:
    """An instance folder that does not exist yet."""
    return tmp_path / "instance"


def run(instance: Path, *arguments: str) -> Result:
    """One command on an instance."""
    return CliRunner().invoke(trainer, ["--instance", str(instance), *arguments])


def add_ian(instance: Path) -> Result:
    """Ian, the instructor, as the first person of Tarn Valley."""
    return run(
        instance, "person", "add", "--number", "tv-2", "--name", "Ian Beck", "--role", "instructor",
        "--organisation", "Tarn Valley",
    )  # fmt: skip


def test_roles_are_those_of_the_store() -> None:
    """The command offers exactly the roles that can be kept."""
    assert people.ROLES == ROLES


def test_first_person_makes_the_instance(instance: Path) -> None:
    """Adding somebody is enough of a first run: key, settings and records are there afterwards."""
    done = add_ian(instance)
    assert done.exit_code == 0, done.output
    assert {"signing.key", "trainer.toml", "trainer.sqlite"} <= {path.name for path in instance.iterdir()}


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_records_are_for_their_owner_only(instance: Path) -> None:
    """No file of a fresh instance can be read by others on the machine."""
    before = os.umask(0o022)
    try:
        add_ian(instance)
    finally:
        os.umask(before)
    for path in (instance, *instance.rglob("*")):
        assert not stat.S_IMODE(path.stat().st_mode) & 0o077, path


def test_list_as_json_has_its_stable_keys(instance: Path) -> None:
    """Scripts find id, name and roles of everybody."""
    add_ian(instance)
    run(instance, "person", "add", "--number", "tv-3", "--name", "Tess Fell", "--role", "trainee")
    listed = json.loads(run(instance, "person", "list", "--json").stdout)
    assert [(one["name"], one["roles"]) for one in listed] == [
        ("Ian Beck", ["instructor"]),
        ("Tess Fell", ["trainee"]),
    ]
    assert all(isinstance(one["id"], int) for one in listed)


def test_list_for_people_counts(instance: Path) -> None:
    """The plain list names everybody with works number and roles and ends with the count."""
    add_ian(instance)
    lines = run(instance, "person", "list").stdout.splitlines()
    assert lines[0].split() == ["TV-2", "Ian", "Beck", "instructor"]
    assert lines[-1] == "1 person"


def test_join_code_is_shown_once_and_kept_as_a_hash(instance: Path) -> None:
    """The code is on the screen and nowhere in the records."""
    add_ian(instance)
    added = run(
        instance, "person", "add", "--number", "tv-3", "--name", "Tess Fell", "--role", "trainee", "--json"
    )
    code = json.loads(added.stdout)["join_code"]
    assert len(code) == 8
    assert all(code.encode() not in path.read_bytes() for path in instance.iterdir() if path.is_file())


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"--organisation": ""}, "--organisation"),
        ({"--name": ""}, "name"),
        ({"--number": "x" * 200}, "number"),
        ({"--role": "chief"}, "chief"),
    ],
)
def test_particulars_that_cannot_be_taken_are_named(
    instance: Path, change: dict[str, str], says: str
) -> None:
    """A wrong particular ends with a sentence about it, and nobody is entered."""
    good = {"--number": "TV-2", "--name": "Ian Beck", "--role": "instructor", "--organisation": "Tarn Valley"}
    arguments = [word for pair in {**good, **change}.items() for word in pair]
    done = run(instance, "person", "add", *arguments)
    assert done.exit_code != 0
    assert says in done.stderr
    assert "Traceback" not in done.stderr
    assert "0 people" in run(instance, "person", "list").stdout or not instance.exists()


def test_works_number_in_use_is_refused(instance: Path) -> None:
    """The same person entered twice is one person."""
    add_ian(instance)
    assert "in use" in add_ian(instance).stderr
    assert "1 person" in run(instance, "person", "list").stdout


def test_nothing_is_listed_where_nothing_is(instance: Path) -> None:
    """A mistyped folder is named and not made."""
    done = run(instance, "person", "list")
    assert (done.exit_code, "There are no records" in done.stderr) == (2, True)
    assert not instance.exists()


def test_roster_enters_everybody_with_join_codes(instance: Path, tmp_path: Path) -> None:
    """A class list becomes people, and their codes a private file to print from."""
    add_ian(instance)
    (tmp_path / "class.csv").write_text(
        "Name,Works number\nTess Fell,TV-3\nOmar Gill,TV-9\n", encoding="utf-8"
    )
    done = run(
        instance, "roster", "import", str(tmp_path / "class.csv"), "--slips", str(tmp_path / "codes.csv")
    )
    assert done.exit_code == 0, done.output
    with (tmp_path / "codes.csv").open(encoding="utf-8", newline="") as file:
        codes = list(csv.DictReader(file))
    assert [row["works number"] for row in codes] == ["TV-3", "TV-9"]
    assert "3 people" in run(instance, "person", "list").stdout


def test_bad_rows_are_all_named_and_nobody_is_entered(instance: Path, tmp_path: Path) -> None:
    """Every bad row is named with its line; the good ones are not half-taken."""
    add_ian(instance)
    file = tmp_path / "class.csv"
    file.write_text("name,works number\nTess Fell,TV-3\n,TV-4\nOmar Gill,\n", encoding="utf-8")
    done = run(instance, "roster", "import", str(file), "--slips", str(tmp_path / "codes.csv"))
    assert done.exit_code == 1
    assert f"{file}:3: " in done.stderr
    assert f"{file}:4: " in done.stderr
    assert "Nobody was entered" in done.stderr
    assert "1 person" in run(instance, "person", "list").stdout
    assert not (tmp_path / "codes.csv").exists()


def test_check_enters_nobody(instance: Path, tmp_path: Path) -> None:
    """--check looks at every row and leaves the records as they are."""
    add_ian(instance)
    (tmp_path / "class.csv").write_text("name,works number\nTess Fell,TV-3\n", encoding="utf-8")
    done = run(instance, "roster", "import", str(tmp_path / "class.csv"), "--check")
    assert "All 1 rows can be taken; 1 people are new" in done.stdout
    assert "1 person" in run(instance, "person", "list").stdout


def test_file_of_codes_is_never_overwritten(instance: Path, tmp_path: Path) -> None:
    """Codes that were written before are not lost to a second run."""
    add_ian(instance)
    (tmp_path / "class.csv").write_text("name,works number\nTess Fell,TV-3\n", encoding="utf-8")
    (tmp_path / "codes.csv").write_text("precious", encoding="utf-8")
    done = run(
        instance, "roster", "import", str(tmp_path / "class.csv"), "--slips", str(tmp_path / "codes.csv")
    )
    assert "exists already" in done.stderr
    assert (tmp_path / "codes.csv").read_text(encoding="utf-8") == "precious"


def test_codes_that_cannot_be_written_enter_nobody(instance: Path, tmp_path: Path) -> None:
    """If the file of codes cannot be made, the people are not in the records either."""
    add_ian(instance)
    (tmp_path / "class.csv").write_text("name,works number\nTess Fell,TV-3\n", encoding="utf-8")
    nowhere = str(tmp_path / "no" / "codes.csv")
    done = run(instance, "roster", "import", str(tmp_path / "class.csv"), "--slips", nowhere)
    assert "Nothing was done" in done.stderr
    assert "1 person" in run(instance, "person", "list").stdout


def test_instructor_must_be_clear(instance: Path, tmp_path: Path) -> None:
    """With two instructors, or a trainee named as one, the command asks who enters the people."""
    add_ian(instance)
    run(instance, "person", "add", "--number", "tv-5", "--name", "Una Rigg", "--role", "instructor")
    run(instance, "person", "add", "--number", "tv-3", "--name", "Tess Fell", "--role", "trainee")
    (tmp_path / "class.csv").write_text("name,works number\nOmar Gill,TV-9\n", encoding="utf-8")
    file = str(tmp_path / "class.csv")
    assert "--by NUMBER" in run(instance, "roster", "import", file).stderr
    assert "no instructor" in run(instance, "roster", "import", file, "--by", "TV-3").stderr
    assert run(instance, "roster", "import", file, "--by", "TV-5").exit_code == 0
