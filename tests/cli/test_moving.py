"""`trainer move`: what it proves, what it tells to write, and what it refuses."""

from __future__ import annotations

import re
import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from trainer.cli import trainer
from trainer.store import Database

HOUSE = Path(__file__).parents[2]


def run(instance: Path, *arguments: str) -> Result:
    """One command on an instance."""
    return CliRunner().invoke(trainer, ["--instance", str(instance), *arguments])


@pytest.fixture
def instance(tmp_path: Path) -> Path:
    """An instance with one person."""
    folder = tmp_path / "instance"
    add = ("person", "add", "--number", "TV-2", "--name", "Ian Beck", "--role", "instructor")
    done = run(folder, *add, "--organisation", "Tarn Valley")
    assert done.exit_code == 0, done.output
    return folder


def test_records_go_on_at_the_new_address(instance: Path, tmp_path: Path) -> None:
    """Each table is proven, the setting to write is printed, and with it the same people are listed."""
    address = f"sqlite:///{(tmp_path / 'new.sqlite').as_posix()}"
    done = run(instance, "move", address)
    assert done.exit_code == 0, done.output
    assert "hold the same" in done.stdout
    assert "links hold" in done.stdout
    before = run(instance, "person", "list", "--json").stdout
    (instance / "trainer.toml").write_text(f'database = "{address}"\n', encoding="utf-8")
    (instance / "trainer.sqlite").unlink()
    assert run(instance, "person", "list", "--json").stdout == before


def test_a_broken_chain_is_told(instance: Path, tmp_path: Path) -> None:
    """Records that were changed by hand move as they are, with the warning and exit code 1."""
    with sqlite3.connect(instance / "trainer.sqlite") as connection:
        connection.execute("UPDATE link SET time = '2020-01-01T00:00:00.000000Z' WHERE seq = 1")
    connection.close()
    done = run(instance, "move", f"sqlite:///{(tmp_path / 'new.sqlite').as_posix()}")
    assert (done.exit_code, "broken before" in done.stderr) == (1, True)


@pytest.mark.parametrize(
    ("address", "says"),
    [
        ("nonsense", "not an address"),
        ("mysql://somewhere/x", "PostgreSQL"),
        ("postgresql+psycopg://nobody@/x?host=/nowhere", "cannot be reached"),
        (
            "postgresql+psycopg://nobody@/x?host=/nowhere&host=/neither&target_session_attrs=read-write",
            "cannot be reached",
        ),
        ("postgresql+strange://a@b/c", "one more part"),
    ],
)
def test_addresses_that_lead_nowhere_are_sentences(instance: Path, address: str, says: str) -> None:
    """An address that names no database, or one that nobody answers at, is said in a sentence."""
    done = run(instance, "move", address)
    assert says in done.stderr
    assert "reference" not in done.stderr


def test_the_address_of_two_servers_in_the_readme_is_one() -> None:
    """The setting takes it as it stands there, names both servers to the driver, and prints it again the same."""
    words = (HOUSE / "README.md").read_text(encoding="utf-8")
    found = re.search(r"`(postgresql\+psycopg://\S+host=db2\S+)`", words)
    assert found, "the README has an address with a standby"
    database = Database(found[1])
    _, options = database.engine.dialect.create_connect_args(database.url)
    assert (options["host"], options["port"]) == ("db1,db2", "5432,5432")
    assert options["target_session_attrs"] == "read-write"
    assert Database(str(database.url)).url == database.url
