"""What an installation may choose: one row per setting, read from ``trainer.toml`` and the environment.

The table below is the only place where a setting is written down. The file made at the first run, the
reading, and the defaults all come from it. A variable ``TRAINER_NAME`` wins over the file.
"""

from __future__ import annotations

import os
import secrets
import tomllib
from dataclasses import dataclass, fields
from pathlib import Path

from trainer import private_files
from trainer.errors import Refused, Unreadable

SETTINGS_FILE = "trainer.toml"
SECRET_FILE = "session.key"
MOST_BYTES = 100_000
SECRET_BYTES = 32

Value = str | int | bool | tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Setting:
    """One thing that may be chosen. Its kind is the kind of its default."""

    name: str
    default: Value
    help: str


SETTINGS: tuple[Setting, ...] = (
    Setting(
        "database",
        "",
        "Where records live. Empty: trainer.sqlite in this folder. "
        "For a PostgreSQL server: postgresql+psycopg://user@host/name",
    ),
    Setting("hosts", (), "Further names or addresses under which browsers may ask for the pages."),
    Setting(
        "decimal_comma", False, "true: typed numbers use a decimal comma (4,5 kA); false: a point (4.5 kA)."
    ),
    Setting("sign_in_hours", 12, "Hours until somebody who signed in must sign in again."),
    Setting("join_days", 14, "Days for which the code on a join slip is good."),
    Setting(
        "keep_years",
        10,
        "Years for which the records of somebody who left are kept; before that they cannot be erased. "
        "Your scheme, contract or law may ask for longer (10: common practice, no source).",
    ),
    Setting(
        "backup_folder", "", "Folder for backups while the trainer runs, best on another disk. Empty: none."
    ),
    Setting("backup_hours", 24, "Hours after which the next such backup is made."),
    Setting(
        "backup_keep",
        30,
        "How many such backups are kept; older ones that the trainer made itself are deleted.",
    ),
    Setting(
        "backup_locked",
        False,
        "true: such backups open with a passphrase only, the first line of backup.passphrase in this folder. "
        "Keep it in another place too: without it nobody can bring one back.",
    ),
    Setting("sign_in_tries", 8, "Sign-ins that may be tried for one works number in five minutes."),
)
LEAST = {
    "keep_years": 0, "sign_in_hours": 1, "backup_hours": 1, "backup_keep": 2, "join_days": 1, "sign_in_tries": 3
}  # fmt: skip
MOST = {
    "keep_years": 100, "sign_in_hours": 24 * 31, "backup_hours": 24 * 31, "backup_keep": 1000, "join_days": 365,
    "sign_in_tries": 1000,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Settings:
    """The choices of one installation. ``instance`` is the folder that holds everything it owns."""

    instance: Path
    database: str = ""
    hosts: tuple[str, ...] = ()
    decimal_comma: bool = False
    sign_in_hours: int = 12
    join_days: int = 14
    keep_years: int = 10
    sign_in_tries: int = 8  # fewer than a hundred in an hour
    backup_folder: str = ""
    backup_hours: int = 24
    backup_keep: int = 30
    backup_locked: bool = False

    @classmethod
    def load(cls, instance: Path, environment: dict[str, str] | None = None) -> Settings:
        """Read the settings of an instance folder; defaults where there is no file.

        Raises Unreadable for a file that is not TOML and Refused for a value that cannot be taken.
        """
        chosen = _from_file(instance / SETTINGS_FILE)
        chosen.update(_from_environment(os.environ if environment is None else environment))
        return cls(instance=instance, **chosen)  # type: ignore[arg-type]  # each value was checked by its row

    @property
    def decimal(self) -> str:
        """The habit of typed numbers: "comma" or "point"."""
        return "comma" if self.decimal_comma else "point"

    @property
    def database_url(self) -> str:
        """The address of the store, as SQLAlchemy writes it."""
        return self.database or f"sqlite:///{(self.instance / 'trainer.sqlite').resolve().as_posix()}"

    @property
    def private_bank(self) -> Path:
        """Folder of the employer's own bank items, which are never committed."""
        return self.instance / "question_bank"

    def prepare(self) -> None:
        """Make the instance folder and its commented settings file, where they are missing."""
        self.instance.mkdir(mode=0o700, parents=True, exist_ok=True)
        file = self.instance / SETTINGS_FILE
        if not file.exists():
            file.write_text(commented(), encoding="utf-8")

    def secret(self) -> bytes:
        """The key that signs form tokens; made once, readable by the owner of the folder only."""
        file = self.instance / SECRET_FILE
        if not file.is_file() or file.stat().st_size < SECRET_BYTES:
            private_files.replace(file, secrets.token_bytes(SECRET_BYTES))
        return file.read_bytes()


def commented() -> str:
    """The settings file as it is first written: every row explained and switched off."""
    lines = ["# Settings of this installation. Take the # away in front of a line to change it.", ""]
    for row in SETTINGS:
        lines += [f"# {row.help}", f"# {row.name} = {_toml(row.default)}", ""]
    return "\n".join(lines)


def bank_folder() -> Path:
    """The question bank: beside the package in a checkout, inside it in an installed wheel."""
    return _house_folder("question_bank")


def templates_folder() -> Path:
    """The page templates: beside the package in a checkout, inside it in an installed wheel."""
    return _house_folder("templates")


def _house_folder(name: str) -> Path:
    package = Path(__file__).resolve().parent
    carried = package / "_house" / name
    return carried if carried.is_dir() else package.parent / name


def _toml(value: Value) -> str:
    if isinstance(value, tuple):
        return "[" + ", ".join(f'"{item}"' for item in value) + "]"
    if isinstance(value, bool):
        return "true" if value else "false"
    return str(value) if isinstance(value, int) else f'"{value}"'


def _from_file(file: Path) -> dict[str, Value]:
    if not file.is_file():
        return {}
    if file.stat().st_size > MOST_BYTES:
        raise Unreadable(f"{file.name} is larger than {MOST_BYTES // 1000} kB; it is not a settings file.")
    try:
        found = tomllib.loads(file.read_text(encoding="utf-8"))
    except (tomllib.TOMLDecodeError, UnicodeDecodeError) as fault:
        raise Unreadable(
            f"{file.name} cannot be read: {fault}. Mend that line or delete the file."
        ) from fault
    return {name: _checked(_row(name, file.name), value, file.name) for name, value in found.items()}


def _from_environment(environment: os._Environ[str] | dict[str, str]) -> dict[str, Value]:
    found: dict[str, Value] = {}
    for row in SETTINGS:
        name = f"TRAINER_{row.name.upper()}"
        if name in environment:
            found[row.name] = _checked(row, _typed(row, environment[name]), name)
    return found


def _typed(row: Setting, text: str) -> object:
    if isinstance(row.default, tuple):
        return [item.strip() for item in text.split(",") if item.strip()]
    plain = text.strip()
    if isinstance(row.default, bool):
        return {"true": True, "1": True, "false": False, "0": False}.get(plain.lower(), text)
    if isinstance(row.default, int) and plain.isascii() and plain.isdigit():
        return int(plain[:9])
    return text


def _row(name: str, where: str) -> Setting:
    for row in SETTINGS:
        if row.name == name:
            return row
    known = ", ".join(row.name for row in SETTINGS)
    raise Refused(f"{where}: there is no setting called {name}. Known are {known}.")


def _checked(row: Setting, value: object, where: str) -> Value:
    if isinstance(row.default, tuple):
        if isinstance(value, list) and all(isinstance(item, str) for item in value):
            return tuple(value)
        raise Refused(f'{where}: {row.name} must be a list of names, for instance ["192.168.4.1"].')
    if isinstance(row.default, bool):
        if isinstance(value, bool):
            return value
        raise Refused(f"{where}: {row.name} must be true or false.")
    if isinstance(row.default, int):
        return _whole(row, value, where)
    if isinstance(value, str):
        return value
    raise Refused(f"{where}: {row.name} must be a text in quotation marks.")


def _whole(row: Setting, value: object, where: str) -> int:
    least, most = LEAST[row.name], MOST[row.name]
    if isinstance(value, int) and not isinstance(value, bool) and least <= value <= most:
        return value
    raise Refused(f"{where}: {row.name} must be a whole number from {least} to {most}.")


assert {row.name for row in SETTINGS} == {item.name for item in fields(Settings)} - {"instance"}
