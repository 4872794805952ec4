"""Copy an instance into one file while it is running, and bring such a file back.

A backup is a tar.gz with the database (copied by SQLite's own ``VACUUM INTO``, consistent while others
write), the settings, the private bank, the pinned issuers, and a list of digests. The signing key is left
out unless it is asked for: whoever has it can sign in the employer's name.
"""

from __future__ import annotations

import hashlib
import io
import json
import os
import shutil
import tarfile
import tempfile
import zlib
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path, PurePosixPath

from trainer.errors import Conflict, NotFound, Refused, TrainerError, Unreadable
from trainer.settings import Settings
from trainer.store import last_backup
from trainer.store.database_file import check_database, check_step, copy_database, make_sure_nobody_is_writing

DATABASE = "trainer.sqlite"
LIST = "backup.json"
KIND = "trainer backup 1"
KEYS = ("signing.key", "session.key")
PASSPHRASE = "backup.passphrase"  # in the instance folder: what locks the backups of a running trainer
LOCKED = ".locked"
WORK = "trainer-backup-"
LEFT_OUT = (
    "logs", "backups", "demo", "put-aside", "tls", last_backup.FILE, last_backup.OWN, last_backup.TROUBLE, PASSPHRASE
)  # fmt: skip
MOST_FILES = 20_000
MOST_BYTES = 20 * 1024**3
MOST_LIST_BYTES = 5_000_000
MOST_HEAD_BYTES = 64_000
LONG_HEADS = frozenset(
    (
        tarfile.XHDTYPE,
        tarfile.XGLTYPE,
        tarfile.SOLARIS_XHDTYPE,
        tarfile.GNUTYPE_LONGNAME,
        tarfile.GNUTYPE_LONGLINK,
    )
)

Seal = Callable[[Path, Path], None]  # writes the locked form of the first file into the second


@dataclass(frozen=True, slots=True)
class Restored:
    """What came back: when the backup was made, how many files, where the earlier ones lie."""

    made: str
    files: int
    put_aside: Path | None


@dataclass(frozen=True, slots=True)
class Contents:
    """The list inside a backup: when it was made, and the digest of each file."""

    made: str
    files: dict[str, str]


class Head(tarfile.TarInfo):
    """A member's head; a long name lies in a head of its own, which is read into memory whole, whatever it says it has."""

    @classmethod
    def frombuf(cls, buf: bytes | bytearray, encoding: str, errors: str) -> Head:
        """Read a head. Raises ReadError for a name that is longer than any."""
        head = super().frombuf(buf, encoding, errors)
        if head.type in LONG_HEADS and head.size > MOST_HEAD_BYTES:
            raise tarfile.ReadError("a name in it has no end")
        return head


def make(
    instance: Path, folder: Path, moment: datetime, with_key: bool = False, seal: Seal | None = None
) -> Path:
    """Write a backup of the instance into a folder, made if only it is missing, and return the file.

    With ``seal`` nothing that can be read is ever written into the folder, not even for a moment. Raises
    NotFound where there is no database, Unreadable where it is damaged, Refused where the folder cannot be
    written.
    """
    database = instance / DATABASE
    if not database.is_file():
        raise NotFound(f"There is no database in {instance}, so there is nothing to back up.")
    target = folder / f"trainer-{moment:%Y-%m-%d-%H%M%S}.tar.gz{LOCKED if seal else ''}"
    if target.exists():
        raise Conflict(f"{target} exists already. Wait a second and make the backup again.")
    try:
        folder.mkdir(exist_ok=True)  # no more than that: where a stick is away its place stays empty
        with tempfile.TemporaryDirectory(prefix=WORK, dir=instance if seal else folder) as work:
            copy = Path(work) / DATABASE
            copy_database(database, copy)
            part = Path(work) / "part"
            _write(part, {DATABASE: copy, **_files(instance, with_key)}, moment)
            if seal is None:
                part.replace(target)
            else:
                _sealed(seal, part, target)
        last_backup.note(instance, moment)
    except OSError as problem:
        raise Refused(
            f"The backup cannot be written to {folder} ({problem.strerror or problem}). "
            "Choose a folder you may write to, with room for the database."
        ) from problem
    return target


def _sealed(seal: Seal, plain: Path, target: Path) -> None:
    """Write the locked form of a file; nothing is left of it where that does not come to an end."""
    part = target.with_name(f"{target.name}.part")
    try:
        seal(plain, part)
        part.replace(target)
    finally:
        part.unlink(missing_ok=True)


def restore(file: Path, instance: Path, moment: datetime, replace: bool = False) -> Restored:
    """Bring a backup back into an instance folder; what was there is put aside, never deleted.

    Raises Unreadable for a file that is no whole backup, Conflict where records are already and
    ``replace`` is not said, where a server is running on them, or for the backup of a newer program.
    """
    occupied = (instance / DATABASE).exists()
    if occupied and not replace:
        raise Conflict(
            f"There are records in {instance} already. Restore into another folder with "
            "'trainer --instance DIR restore FILE', or say --replace: the present ones are then put aside."
        )
    try:
        instance.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(prefix="restore-", dir=instance) as work:
            contents = unpack(file, Path(work))
            check_step(Path(work) / DATABASE)
            _check_settings(Path(work), file)
            if occupied:  # not before: it takes its time to unpack, and a trainer may be started meanwhile
                make_sure_nobody_is_writing(instance / DATABASE, "restore")
            aside = _put_aside(instance, contents.files, moment) if occupied else None
            _move_in(Path(work), instance, contents.files)
    except OSError as problem:
        raise Refused(
            f"The backup cannot be brought into {instance} ({problem.strerror or problem}). Nothing is wrong with the "
            "backup: make room there, or restore into another folder with 'trainer --instance DIR restore FILE'."
        ) from problem
    return Restored(contents.made, len(contents.files), aside)


def unpack(file: Path, folder: Path) -> Contents:
    """Unpack a backup into an empty folder and compare every file with its digest; give its list.

    Raises Unreadable for anything that is not exactly a backup as `make` writes it.
    """
    try:
        with tarfile.open(file, "r:gz", tarinfo=Head) as archive:
            _extract(archive, folder)
        contents = _read_list(folder / LIST)
    except (tarfile.TarError, zlib.error, EOFError, OSError, ValueError, KeyError, RecursionError) as problem:
        if isinstance(problem, OSError) and last_backup.kind_of(problem) in (
            last_backup.FULL,
            last_backup.SHUT,
        ):
            raise  # it is the folder that is at fault, and nobody should throw the backup away
        raise Unreadable(
            f"{file.name} is not a whole backup of a trainer ({problem}). Use another one."
        ) from problem
    found = {
        str(PurePosixPath(*path.relative_to(folder).parts)) for path in folder.rglob("*") if path.is_file()
    }
    if found != {*contents.files, LIST} or DATABASE not in found:
        raise Unreadable(f"{file.name} does not hold the files that its own list names. Use another backup.")
    for name, digest in contents.files.items():
        if _digest(folder / name) != digest:
            raise Unreadable(
                f"{file.name}: {name} is not as it was when the backup was made. Use another one."
            )
    check_database(folder / DATABASE)
    return contents


def _files(instance: Path, with_key: bool) -> dict[str, Path]:
    """The files of an instance that belong into a backup, by their names in it."""
    chosen: dict[str, Path] = {}
    for path in sorted(instance.rglob("*")):
        name = path.relative_to(instance)
        if name.parts[0] in LEFT_OUT or path.is_symlink() or not path.is_file():
            continue
        if name.parts[0].startswith((DATABASE, "restore-")) or name == Path("README.md"):
            continue
        if any(last_backup.NAME.fullmatch(part) or part.startswith(WORK) for part in name.parts):
            continue  # kept in this very folder: each would hold all those before it, twice as large every time
        if with_key or not name.as_posix().startswith(KEYS):
            chosen[name.as_posix()] = path
    return chosen


def _write(target: Path, files: dict[str, Path], moment: datetime) -> None:
    digests = {name: _digest(path) for name, path in files.items()}
    facts = {"kind": KIND, "made": moment.isoformat(timespec="seconds"), "files": digests}
    text = json.dumps(facts, indent=1, ensure_ascii=False).encode()
    descriptor = os.open(target, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    with os.fdopen(descriptor, "wb") as out:
        with tarfile.open(fileobj=out, mode="w:gz", compresslevel=6) as archive:
            head = tarfile.TarInfo(LIST)
            head.size, head.mode, head.mtime = len(text), 0o600, int(moment.timestamp())
            archive.addfile(head, io.BytesIO(text))
            for name, path in files.items():
                archive.add(path, name, recursive=False, filter=_private)
        out.flush()
        os.fsync(out.fileno())


def _private(member: tarfile.TarInfo) -> tarfile.TarInfo:
    member.uid = member.gid = 0
    member.uname = member.gname = ""
    member.mode = 0o600
    return member


def _extract(archive: tarfile.TarFile, folder: Path) -> None:
    total = 0
    for number, member in enumerate(archive):
        total += member.size
        if number >= MOST_FILES or total > MOST_BYTES or not member.isfile():
            raise ValueError("it holds more, or other things, than a backup does")
        archive.extract(member, folder, filter="data")


def _read_list(file: Path) -> Contents:
    if file.stat().st_size > MOST_LIST_BYTES:
        raise ValueError("its list is too long")
    facts = json.loads(file.read_text(encoding="utf-8"))
    if not isinstance(facts, dict) or facts.get("kind") != KIND:
        raise ValueError("it has no list of its files")
    made, files = facts["made"], facts["files"]
    if not isinstance(made, str) or not isinstance(files, dict):
        raise ValueError("its list is not one that this program writes")
    return Contents(made[:40], files)


def _check_settings(folder: Path, file: Path) -> None:
    """Let no settings pass that lead away from the very records they come with: no backup of ours has such."""
    try:
        elsewhere = Settings.load(folder, {}).database
    except TrainerError:
        return  # the next start names the line
    if elsewhere:
        raise Unreadable(f"{file.name} brings settings that look for records elsewhere. Use another backup.")


def _put_aside(instance: Path, coming: dict[str, str], moment: datetime) -> Path:
    """Move what a backup replaces into a folder of its own, the database with its side files."""
    aside = instance / "put-aside" / f"{moment:%Y-%m-%d-%H%M%S}"
    sides = (DATABASE, f"{DATABASE}-wal", f"{DATABASE}-shm")
    for name in _present(instance, (*sides, *coming)):
        (aside / name).parent.mkdir(parents=True, exist_ok=True)
        (instance / name).replace(aside / name)
    return aside


def _present(instance: Path, names: tuple[str, ...]) -> Iterator[str]:
    return (name for name in dict.fromkeys(names) if (instance / name).is_file())


def _move_in(work: Path, instance: Path, names: dict[str, str]) -> None:
    """Move unpacked files to their places, the database last: it is what makes an instance one."""
    for name in sorted(names, key=lambda name: name == DATABASE):
        target = instance / name
        target.parent.mkdir(parents=True, exist_ok=True)
        shutil.move(work / name, target)


def _digest(file: Path) -> str:
    with file.open("rb") as stream:
        return hashlib.file_digest(stream, "sha256").hexdigest()
