"""The set-up that runs on a bare Python, and the sentences it says when it cannot."""

from __future__ import annotations

import ast
import subprocess
import sys
import tomllib
import venv
from pathlib import Path

import pytest

import trainer.installing
from trainer import start
from trainer.installing import CannotSetUp, pip_environment, run_pip, what_went_wrong

HOUSE = Path(__file__).parents[2]
BARE = ("trainer/__init__.py", "trainer/start.py", "trainer/installing.py", "trainer/everywhere.py")


@pytest.fixture
def copy(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A folder that start takes for a copy of the project."""
    (tmp_path / "pyproject.toml").write_text("[project]\n", encoding="utf-8")
    monkeypatch.setattr(start, "ROOT", tmp_path)
    monkeypatch.setattr(start, "ENVIRONMENT", tmp_path / ".venv")
    monkeypatch.setattr(start, "WHEELHOUSE", tmp_path / "wheelhouse")
    monkeypatch.setattr(start, "LOG", tmp_path / ".venv" / "install.log")
    return tmp_path


@pytest.mark.parametrize("name", BARE[:2])
def test_old_pythons_can_read_as_far_as_the_sentence(name: str) -> None:
    """What an old Python meets before the sentence has no syntax newer than 3.6."""
    ast.parse((HOUSE / name).read_text(encoding="utf-8"), feature_version=(3, 6))


@pytest.mark.parametrize("name", BARE)
def test_only_the_standard_library_is_needed(name: str) -> None:
    """Setting up imports nothing that would have to be installed first."""
    tree = ast.parse((HOUSE / name).read_text(encoding="utf-8"))
    imported = {alias.name for node in ast.walk(tree) if isinstance(node, ast.Import) for alias in node.names}
    imported |= {str(node.module) for node in ast.walk(tree) if isinstance(node, ast.ImportFrom)}
    strangers = {module for module in imported if module.split(".")[0] not in sys.stdlib_module_names}
    assert strangers <= {"trainer", "trainer.installing"}


def test_old_python_is_told_what_to_install() -> None:
    """Python 3.10 gets one sentence, not a trace."""
    pretend = "import sys, runpy; sys.version_info = (3, 10, 4); runpy.run_module('trainer.start')"
    done = subprocess.run(
        [sys.executable, "-c", pretend], cwd=HOUSE, capture_output=True, text=True, check=False
    )
    assert done.returncode == 1
    assert done.stderr.startswith("The trainer needs Python 3.11 or newer; this is Python 3.10.")
    assert "Traceback" not in done.stderr


def test_help_teaches_the_four_uses(capsys: pytest.CaptureFixture[str]) -> None:
    """--help names the demo, the tests and the folder of wheels, and sets nothing up."""
    assert start.main(["--help"]) == 0
    said = capsys.readouterr().out
    assert all(word in said for word in ("trainer.start test", "trainer.start wheels", "demo"))


def test_unknown_verb_is_refused(capsys: pytest.CaptureFixture[str]) -> None:
    """A misspelt verb ends with exit code 2 and the list of uses."""
    assert start.main(["tests"]) == 2
    assert "There is no 'tests' here" in capsys.readouterr().err


def test_installed_package_has_nothing_to_set_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """In a folder that is no copy of the project the sentence names the command to use."""
    monkeypatch.setattr(start, "ROOT", tmp_path)
    assert start.main([]) == 1
    assert "trainer serve --demo" in capsys.readouterr().err


def test_second_run_installs_nothing(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """With the stamp of this project file in place the environment is taken as it is."""
    python = start.environment_python(copy / ".venv")
    python.parent.mkdir(parents=True)
    python.touch()
    (copy / ".venv" / start.STAMP).write_text(start.stamp("test") + "\n" + start.stamp(""), encoding="utf-8")
    monkeypatch.setattr(start, "make_environment", lambda python: pytest.fail("set up again"))
    assert start.set_up("test") == python
    assert start.set_up("") == python


def test_changed_project_file_is_installed_again(copy: Path) -> None:
    """The stamp follows the project file, so a new requirement is not forgotten."""
    before = start.stamp("")
    (copy / "pyproject.toml").write_text("[project]\ndependencies = ['new']\n", encoding="utf-8")
    assert start.stamp("") != before


def test_demo_environment_is_not_taken_for_the_test_environment(copy: Path) -> None:
    """Tests need more than the demo does, and the stamp knows."""
    assert start.stamp("test") != start.stamp("")


def test_missing_ensurepip_names_the_package(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Without ensurepip, a pip of the system and a wheelhouse the sentence says what to install."""
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    with pytest.raises(CannotSetUp, match="sudo apt install python3-venv"):
        start.make_environment(copy / ".venv" / "bin" / "python")
    assert not (copy / ".venv").exists()


def test_pip_of_the_wheelhouse_serves_without_ensurepip(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A pip wheel in the folder of wheels can install itself out of the wheel."""
    monkeypatch.setattr("importlib.util.find_spec", lambda name: None)
    (copy / "wheelhouse").mkdir()
    (copy / "wheelhouse" / "pip-26.3-py3-none-any.whl").touch()
    command = start.installer_without_ensurepip(Path("python"))
    assert command == ["python", str(copy / "wheelhouse" / "pip-26.3-py3-none-any.whl" / "pip")]


def test_half_made_environment_is_made_again(copy: Path) -> None:
    """A .venv that was broken off, here with a Python but no pip, is cleared and made anew."""
    python = start.environment_python(copy / ".venv")
    python.parent.mkdir(parents=True)
    python.write_text("#!/bin/sh\nexit 1\n", encoding="utf-8")
    python.chmod(0o755)
    (copy / ".venv" / "rubbish").touch()
    assert start.make_environment(python) == [str(python), "-m", "pip"]
    assert start.has_pip(python)
    assert not (copy / ".venv" / "rubbish").exists()


def test_folder_that_may_not_be_written_gets_a_sentence(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A read-only copy is named, with what to do."""

    def refuse(builder: venv.EnvBuilder, folder: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(venv.EnvBuilder, "create", refuse)  # an administrator may write everywhere
    with pytest.raises(CannotSetUp, match="Copy the project to a folder you may write to"):
        start.set_up("")


def test_no_network_gets_its_sentence() -> None:
    """pip's talk about broken connections becomes two ways out."""
    said = (
        "WARNING: Retrying (Retry(total=0)) after connection broken by 'NewConnectionError(': Failed to "
        "establish a new connection: [Errno -3] Temporary failure in name resolution')': /simple/hatchling/\n"
        "ERROR: Could not find a version that satisfies the requirement hatchling>=1.24\n"
    )
    sentence = what_went_wrong(said, None, Path("install.log"))
    assert sentence.startswith("No package index can be reached")
    assert "trainer.start wheels" in sentence


def test_wheelhouse_of_another_machine_names_the_missing_part() -> None:
    """A folder of wheels that does not fit says which part it lacks for which Python."""
    said = "ERROR: No matching distribution found for typst<0.16,>=0.14\n"
    sentence = what_went_wrong(said, Path("wheelhouse"), Path("install.log"))
    assert "lacks typst<0.16,>=0.14 for this machine" in sentence


def test_full_disk_gets_its_sentence() -> None:
    """A full disk is said as such, whatever else pip says."""
    said = "ERROR: Could not install packages due to an OSError: [Errno 28] No space left on device\n"
    assert "disk is full" in what_went_wrong(said, None, Path("install.log"))


def test_other_failures_show_the_telling_lines() -> None:
    """What nobody foresaw is shown by the lines that name the error, with the log's place."""
    said = "Collecting x\n  FileNotFoundError: README.md: no such file\nnote: not pip\nhint: see above\n"
    sentence = what_went_wrong(said, None, Path("install.log"))
    assert "FileNotFoundError: README.md: no such file" in sentence
    assert "hint" not in sentence
    assert "install.log" in sentence


def test_pip_gives_up_in_seconds_unless_told_otherwise(monkeypatch: pytest.MonkeyPatch) -> None:
    """Short waits are the default; a waiting time that the person has set is kept."""
    monkeypatch.delenv("PIP_TIMEOUT", raising=False)
    monkeypatch.delenv("PIP_DEFAULT_TIMEOUT", raising=False)
    monkeypatch.delenv("PIP_RETRIES", raising=False)
    assert pip_environment()["PIP_DEFAULT_TIMEOUT"] == "5"
    assert pip_environment()["PIP_RETRIES"] == "1"
    monkeypatch.setenv("PIP_DEFAULT_TIMEOUT", "180")
    assert pip_environment()["PIP_DEFAULT_TIMEOUT"] == "180"


def test_output_of_pip_is_kept_and_its_exit_code_given(tmp_path: Path) -> None:
    """Everything the installer said is in the log; the code is its own."""
    talk = "import sys; print('Collecting x'); print('broken', file=sys.stderr); sys.exit(3)"
    code, said = run_pip([sys.executable, "-c", talk], tmp_path / "install.log")
    assert code == 3
    assert "broken" in said
    assert (tmp_path / "install.log").read_text(encoding="utf-8") == said


def test_exit_code_of_what_was_started_is_passed_on(tmp_path: Path) -> None:
    """The command that is handed over to gives its exit code to the shell."""
    handing = (
        f"import sys; sys.path.insert(0, {str(HOUSE)!r}); from trainer import start; "
        "sys.exit(start.hand_over([sys.executable, '-c', 'import sys; sys.exit(7)']))"
    )
    assert subprocess.run([sys.executable, "-c", handing], cwd=tmp_path, check=False).returncode == 7


def test_wheels_refuses_two_folders(copy: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """More than one folder is a mistake and nothing is collected."""
    with pytest.raises(CannotSetUp, match="at most one folder"):
        start.collect_wheels(Path(sys.executable), ["a", "b"])
    with pytest.raises(CannotSetUp, match="at most one folder"):
        start.collect_wheels(Path(sys.executable), ["--tests"])


def test_failed_collecting_leaves_no_half_folder(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When pip fails, neither the folder nor its half-filled forerunner is left to be taken for whole."""
    monkeypatch.setattr(start, "requirements", lambda *_: ["hatchling"])

    def fail(command: list[str], log: Path) -> tuple[int, str]:
        (copy / "wheelhouse.part").mkdir()
        (copy / "wheelhouse.part" / "one.whl").touch()
        return 1, "ReadTimeoutError"

    monkeypatch.setattr(start, "run_pip", fail)
    with pytest.raises(CannotSetUp):
        start.collect_wheels(Path(sys.executable), [])
    assert sorted(path.name for path in copy.iterdir()) == ["pyproject.toml"]


def test_wheels_for_everywhere(
    copy: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """Each kind of machine is asked for by its name, with everything that the project needs, into the one folder."""
    (copy / "pyproject.toml").write_bytes((HOUSE / "pyproject.toml").read_bytes())
    asked: list[list[str]] = []

    def fill(command: list[str], log: Path) -> tuple[int, str]:
        asked.append(command)
        (copy / "wheelhouse.part").mkdir(exist_ok=True)
        (copy / "wheelhouse.part" / f"{len(asked)}.whl").touch()
        return 0, ""

    monkeypatch.setattr(start, "run_pip", fill)
    assert start.collect_wheels(Path(sys.executable), ["--everywhere"]) == 0
    assert len(list((copy / "wheelhouse").iterdir())) == len(asked) == 6
    assert [any("win_amd64" in word for word in command) for command in asked].count(True) == 1
    for command in asked[1:]:
        assert {"--only-binary=:all:", "pip", "flask>=3.1,<3.2", "hatchling>=1.24"} <= set(command)
    assert "Windows x86-64, Python" in capsys.readouterr().out


def test_a_kind_of_machine_that_lacks_a_part_is_named(copy: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When it fails for one kind nothing is left to be taken for whole."""
    (copy / "pyproject.toml").write_bytes((HOUSE / "pyproject.toml").read_bytes())

    def fail_at_windows(command: list[str], log: Path) -> tuple[int, str]:
        (copy / "wheelhouse.part").mkdir(exist_ok=True)
        return int("--platform=win_amd64" in command), "ERROR: No matching distribution found for typst"

    monkeypatch.setattr(start, "run_pip", fail_at_windows)
    with pytest.raises(CannotSetUp, match=r"Windows x86-64: [\s\S]*typst"):
        start.collect_wheels(Path(sys.executable), ["--everywhere"])
    assert sorted(path.name for path in copy.iterdir()) == ["pyproject.toml"]


def test_requirements_are_those_of_the_project() -> None:
    """What is collected for building is what the project file asks for."""
    project = tomllib.loads((HOUSE / "pyproject.toml").read_text(encoding="utf-8"))
    assert start.requirements("build-system", "requires") == project["build-system"]["requires"]


def test_progress_is_silent_where_nobody_watches(capsys: pytest.CaptureFixture[str]) -> None:
    """Written into a file or a pipe, progress lines would be rubbish; none are written."""
    trainer.installing.show_progress("Collecting flask")
    assert capsys.readouterr().out == ""
