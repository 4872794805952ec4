"""The built wheel in an empty environment, far from the checkout."""

from __future__ import annotations

import os
import re
import subprocess
import sys
import time
import urllib.request
import venv
import zipfile
from pathlib import Path

import pytest

from tests.ports import own_port
from trainer import __version__

HOUSE = Path(__file__).parents[2]
pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The wheel of this checkout, built with what is installed here."""
    folder = tmp_path_factory.mktemp("wheel")
    command = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(folder)]
    subprocess.run(command, cwd=HOUSE, check=True, capture_output=True, timeout=120)
    return next(folder.glob("mt_trainer-*.whl"))


@pytest.fixture(scope="module")
def elsewhere(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """An empty environment with the wheel in it, which takes its libraries from this one; its Python."""
    folder = tmp_path_factory.mktemp("a place elsewhere")
    venv.create(folder / "env", with_pip=False, symlinks=os.name != "nt")
    python = folder / "env" / ("Scripts/python.exe" if os.name == "nt" else "bin/python")
    install = [
        sys.executable,
        "-m",
        "pip",
        "--python",
        str(python),
        "install",
        "--no-deps",
        "--no-index",
        str(wheel),
    ]
    subprocess.run(install, check=True, capture_output=True, timeout=120)
    site = next((folder / "env").rglob("site-packages"))
    libraries = [path for path in sys.path if path.endswith("site-packages")]
    (site / "libraries.pth").write_text("\n".join(libraries) + "\n", encoding="utf-8")
    return python


def trainer(python: Path, *arguments: str) -> subprocess.CompletedProcess[str]:
    """Run the installed command in its own folder, with no trace of this checkout in its surroundings."""
    surroundings = {
        name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "TRAINER"))
    }
    surroundings["XDG_DATA_HOME"] = str(python.parents[2] / "data")
    return subprocess.run(
        [str(python), "-m", "trainer.cli", *arguments],
        cwd=python.parents[2],
        env=surroundings,
        capture_output=True,
        encoding="utf-8",
        timeout=240,
        check=False,
    )


def names_in(wheel: Path) -> set[str]:
    """Everything the wheel carries."""
    with zipfile.ZipFile(wheel) as archive:
        return set(archive.namelist())


def test_wheel_carries_every_template_and_bank_file(wheel: Path) -> None:
    """What lies in templates/ and question_bank/ is in the wheel, file for file."""
    carried = names_in(wheel)
    for top in ("templates", "question_bank"):
        files = [
            path for path in (HOUSE / top).rglob("*") if path.is_file() and "__pycache__" not in path.parts
        ]
        assert files, f"{top} is empty"
        for path in files:
            assert f"trainer/_house/{path.relative_to(HOUSE).as_posix()}" in carried


def test_wheel_carries_every_file_of_the_package(wheel: Path) -> None:
    """Style sheets, scripts, migrations and documents come along with the modules."""
    carried = names_in(wheel)
    for path in (HOUSE / "trainer").rglob("*"):
        if path.is_file() and "__pycache__" not in path.parts and path.suffix != ".pyc":
            assert path.relative_to(HOUSE).as_posix() in carried


def test_wheel_carries_nothing_of_an_instance(wheel: Path) -> None:
    """No database, key or settings file of this machine is given to others."""
    assert not [
        name
        for name in names_in(wheel)
        if re.search(r"instance/|\.sqlite|\.key$|trainer\.toml|\.venv|tests/", name)
    ]


def test_wheel_holds_what_a_checkout_holds_not_a_checkout(elsewhere: Path) -> None:
    """The installed package is found in its own environment, not in this checkout."""
    where = [str(elsewhere), "-c", "import trainer; print(trainer.__file__)"]
    found = subprocess.run(where, cwd=elsewhere.parents[2], capture_output=True, text=True, check=True).stdout
    assert "a place elsewhere" in found


def test_version_from_another_folder(elsewhere: Path) -> None:
    """The installed command says its version."""
    assert trainer(elsewhere, "--version").stdout == f"trainer {__version__}\n"


def test_bank_check_from_another_folder(elsewhere: Path) -> None:
    """The bank inside the wheel is found and has no faults."""
    done = trainer(elsewhere, "bank", "check", "--seeds", "2")
    assert done.returncode == 0, done.stdout + done.stderr


def test_serve_from_another_folder(elsewhere: Path) -> None:
    """The installed server makes its instance with the account's data and answers with a page."""
    data = elsewhere.parents[2] / "data"
    port = own_port()
    surroundings = {
        name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "TRAINER"))
    }
    command = [str(elsewhere), "-m", "trainer.cli", "serve", "--port", str(port)]
    with subprocess.Popen(
        command,
        cwd=elsewhere.parents[2],
        env={**surroundings, "XDG_DATA_HOME": str(data), "LOCALAPPDATA": str(data), "HOME": str(data)},
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        text=True,
    ) as server:
        try:
            page = answer(f"http://127.0.0.1:{port}/")
        finally:
            server.terminate()
            said = server.communicate(timeout=20)[0]
    assert "<html" in page, said
    assert f"http://127.0.0.1:{port}/" in said
    assert list(data.rglob("trainer.sqlite"))


def answer(url: str) -> str:
    """The page at an address, as soon as somebody answers there."""
    last: OSError | None = None
    for _ in range(100):
        try:
            with urllib.request.urlopen(url, timeout=10) as page:
                text: str = page.read().decode()
                return text
        except OSError as problem:
            last = problem
            time.sleep(0.2)
    raise AssertionError(f"nobody answers at {url}: {last}")
