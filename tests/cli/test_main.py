"""The frame of the command line: finding commands, showing errors, starting fast."""

from __future__ import annotations

import subprocess
import sys
from importlib.util import find_spec
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from trainer import __version__
from trainer.cli import COMMANDS, surprise, trainer
from trainer.cli.instance import account_folder, default_instance
from trainer.errors import NotFound

HOUSE = Path(__file__).parents[2]
HEAVY = {"flask", "sqlalchemy", "sympy", "pint", "pydantic", "typst", "yaml", "cryptography", "waitress"}


class Failing:
    """What the replaced command raises."""

    error: Exception = RuntimeError("nothing chosen")


@pytest.fixture
def failing(monkeypatch: pytest.MonkeyPatch) -> type[Failing]:
    """Let the command `audit` raise what the test chooses."""

    @click.command()
    def audit() -> None:
        raise Failing.error

    monkeypatch.setattr(
        type(trainer), "get_command", lambda self, ctx, name: audit if name == "audit" else None
    )
    return Failing


def test_version_is_that_of_the_package() -> None:
    """`trainer --version` names program and version."""
    assert CliRunner().invoke(trainer, ["--version"]).output == f"trainer {__version__}\n"


def test_help_lists_every_command_with_what_it_does() -> None:
    """Each command of the table stands in --help with its own words."""
    said = CliRunner().invoke(trainer, ["--help"]).output
    for rows in COMMANDS.values():
        for name, row in rows.items():
            assert f"  {name} " in said
            assert row.says[:30] in said


@pytest.mark.parametrize("name", [name for rows in COMMANDS.values() for name in rows])
def test_every_command_can_be_asked_for_help(name: str) -> None:
    """No row of the table is dead: the command is there, says what it takes and has a sentence of its own."""
    done = CliRunner().invoke(trainer, [name, "--help"])
    assert done.exit_code == 0, done.output
    assert done.output.startswith(f"Usage: trainer {name} ")


def test_every_module_of_the_table_exists() -> None:
    """The table names no module that is not there."""
    for rows in COMMANDS.values():
        for row in rows.values():
            assert find_spec("trainer.cli." + row.place.split(":")[0])


@pytest.mark.parametrize("arguments", [["--version"], ["--help"]])
def test_start_imports_nothing_heavy(arguments: list[str]) -> None:
    """Neither --version nor --help loads the libraries that the commands need."""
    look = (
        "import sys\nfrom trainer.cli import trainer\n"
        f"try: trainer({arguments!r})\nexcept SystemExit: print('loaded:', *(set(sys.modules) & {HEAVY!r}))"
    )
    done = subprocess.run([sys.executable, "-c", look], cwd=HOUSE, capture_output=True, text=True, check=True)
    assert done.stdout.splitlines()[-1] == "loaded:"


def test_misspelt_command_names_the_nearest() -> None:
    """A slip of the finger is answered with the command that was meant, on standard error, code 2."""
    done = CliRunner().invoke(trainer, ["verfy"])
    assert done.exit_code == 2
    assert "There is no command 'verfy'. Did you mean verify?" in done.stderr
    assert done.stdout == ""


def test_foreseen_error_is_its_sentence_alone(failing: type[Failing], tmp_path: Path) -> None:
    """An error of the house shows its sentence on standard error and ends with its own code."""
    failing.error = NotFound("There is no class 7.")
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path), "audit"])
    assert (done.exit_code, done.stderr, done.stdout) == (2, "There is no class 7.\n", "")


def test_surprise_gets_a_reference_and_a_log(failing: type[Failing], tmp_path: Path) -> None:
    """An unforeseen error shows no trace; the trace is in the log under the reference that was shown."""
    failing.error = ZeroDivisionError("inner detail")
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path), "audit"])
    log = (tmp_path / "logs" / "commands.log").read_text(encoding="utf-8")
    reference = done.stderr.split("reference ")[1][:8]
    assert done.exit_code == 70
    assert "inner detail" not in done.stderr
    assert f"reference {reference}" in log
    assert "ZeroDivisionError: inner detail" in log


def test_surprise_without_an_instance_makes_none(failing: type[Failing], tmp_path: Path) -> None:
    """No instance folder is made for a log alone; the trace is shown instead."""
    failing.error = ZeroDivisionError("inner detail")
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path / "none"), "audit"])
    assert "inner detail" in done.stderr
    assert not (tmp_path / "none").exists()


def test_log_of_surprises_does_not_grow_without_end(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Past its limit the log is put aside once and begun anew."""
    monkeypatch.setattr(surprise, "MOST_BYTES", 100)
    for reference in ("A", "B", "C"):
        surprise.keep(reference, "x" * 120, tmp_path)
    assert sorted(file.name for file in (tmp_path / "logs").iterdir()) == ["commands.log", "commands.old.log"]
    assert "reference C" in (tmp_path / "logs" / "commands.log").read_text(encoding="utf-8")


def test_unreadable_settings_are_a_sentence(tmp_path: Path) -> None:
    """A broken settings file stops every command with the sentence that names it."""
    (tmp_path / "trainer.toml").write_text("house = [", encoding="utf-8")
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path), "audit"])
    assert "trainer.toml" in done.stderr
    assert "Traceback" not in done.stderr
    assert done.exit_code == 2


def test_checkout_keeps_its_instance_beside_the_package() -> None:
    """In a checkout the instance folder is the one of the design card."""
    assert default_instance() == HOUSE / "instance"


@pytest.mark.parametrize(
    ("system", "environment", "folder"),
    [
        ("linux", {}, "/home/t/.local/share/mt-trainer"),
        ("linux", {"XDG_DATA_HOME": "/data"}, "/data/mt-trainer"),
        ("darwin", {}, "/home/t/Library/Application Support/mt-trainer"),
        ("win32", {"LOCALAPPDATA": "/local"}, "/local/mt-trainer"),
        ("win32", {}, "/home/t/AppData/Local/mt-trainer"),
    ],
)
def test_installed_wheel_keeps_its_instance_with_the_account(
    system: str, environment: dict[str, str], folder: str
) -> None:
    """Each system has its own place for a program's data, wherever the command is started."""
    assert account_folder(system, environment, Path("/home/t")) == Path(folder)


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (["bank", "draw"], "Missing argument 'DRILL'. 'trainer bank draw --help' says what it takes."),
        (["mark", "x", "--seed", "one", "--answer", "1"], "Invalid value for '--seed': 'one' is not a valid integer."),
        (["serve", "--prot", "1"], "No such option '--prot'."),
    ],
)  # fmt: skip
def test_a_wrong_option_is_one_line(typed: list[str], says: str) -> None:
    """What cannot be taken is one line on standard error, with exit code 2 and the way to the help."""
    done = CliRunner().invoke(trainer, typed, prog_name="trainer")
    assert (done.exit_code, done.stdout, done.stderr.count("\n")) == (2, "", 1)
    assert done.stderr.startswith(says)
