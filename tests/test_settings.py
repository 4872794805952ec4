"""Settings come from one table: defaults, the file, the environment, each fault a sentence."""

from __future__ import annotations

import stat
import tomllib
from pathlib import Path

import pytest

from trainer.errors import Refused, Unreadable
from trainer.settings import SETTINGS, Settings, bank_folder, commented, templates_folder


def test_defaults_without_a_file(tmp_path: Path) -> None:
    """An empty folder gives the defaults."""
    assert Settings.load(tmp_path, {}) == Settings(instance=tmp_path)


def test_the_first_file_changes_nothing(tmp_path: Path) -> None:
    """The commented file is complete, and as it is written it changes nothing."""
    settings = Settings(instance=tmp_path / "new")
    settings.prepare()
    text = (tmp_path / "new" / "trainer.toml").read_text(encoding="utf-8")
    assert Settings.load(tmp_path / "new", {}) == settings
    assert all(f"# {row.name} = " in text and f"# {row.help}" in text for row in SETTINGS)


def test_the_commented_lines_are_toml() -> None:
    """Each line is good TOML once its # is taken away, and gives the default."""
    lines = [line[2:] for line in commented().splitlines() if " = " in line]
    found = tomllib.loads("\n".join(lines))
    assert found == {
        row.name: list(row.default) if isinstance(row.default, tuple) else row.default for row in SETTINGS
    }


def test_prepare_keeps_a_file_that_is_there(tmp_path: Path) -> None:
    """A settings file is never written over."""
    (tmp_path / "trainer.toml").write_text("join_days = 3\n", encoding="utf-8")
    Settings(instance=tmp_path).prepare()
    assert Settings.load(tmp_path, {}).join_days == 3


def test_the_environment_wins(tmp_path: Path) -> None:
    """A variable wins over the file, and is read by the kind of its setting."""
    (tmp_path / "trainer.toml").write_text('join_days = 3\nhosts = ["a.example"]\n', encoding="utf-8")
    environment = {
        "TRAINER_JOIN_DAYS": "5",
        "TRAINER_HOSTS": "b.example, c.example",
        "TRAINER_DECIMAL_COMMA": "true",
    }
    found = Settings.load(tmp_path, environment)
    assert (found.join_days, found.hosts, found.decimal_comma) == (5, ("b.example", "c.example"), True)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("join_dayz = 3", "no setting called join_dayz"),
        ("join_days = 0", "from 1 to 365"),
        ('join_days = "3"', "whole number"),
        ("join_days = true", "whole number"),
        ('hosts = "a"', "list of names"),
        ("database = 3", "quotation marks"),
        ("decimal_comma = 1", "true or false"),
    ],
)
def test_wrong_values_are_named(tmp_path: Path, text: str, says: str) -> None:
    """A setting that cannot be taken is refused with its name and what to write."""
    (tmp_path / "trainer.toml").write_text(text, encoding="utf-8")
    with pytest.raises(Refused, match=says):
        Settings.load(tmp_path, {})


@pytest.mark.parametrize("data", [b"= 3", b"database = \xff", b"#" * 200_000], ids=["toml", "utf-8", "size"])
def test_unreadable_files_are_named(tmp_path: Path, data: bytes) -> None:
    """A file that is no settings file is named."""
    (tmp_path / "trainer.toml").write_bytes(data)
    with pytest.raises(Unreadable, match=r"trainer\.toml"):
        Settings.load(tmp_path, {})


@pytest.mark.parametrize("value", ["many", "-1", "99999999999999999999", "٣"])
def test_wrong_variables_are_named(tmp_path: Path, value: str) -> None:
    """A variable that cannot be taken is named as the variable it is."""
    with pytest.raises(Refused, match="TRAINER_JOIN_DAYS"):
        Settings.load(tmp_path, {"TRAINER_JOIN_DAYS": value})


def test_the_secret_is_made_once_and_kept_private(tmp_path: Path) -> None:
    """The key of the form tokens stays the same, is long, and is the owner's alone."""
    settings = Settings(instance=tmp_path)
    first = settings.secret()
    assert (len(first), settings.secret()) == (32, first)
    assert stat.S_IMODE((tmp_path / "session.key").stat().st_mode) == 0o600


def test_a_cut_off_secret_is_made_anew(tmp_path: Path) -> None:
    """A key file left empty by a crash is not used as a key."""
    (tmp_path / "session.key").write_bytes(b"")
    assert len(Settings(instance=tmp_path).secret()) == 32


def test_the_house_folders_are_there() -> None:
    """Templates and bank are found from wherever the program is started."""
    assert (templates_folder() / "base.html").is_file()
    assert (bank_folder() / "schemes").is_dir()
