"""Backups: made while others write, brought back whole or not at all."""

from __future__ import annotations

import errno
import gzip
import io
import json
import os
import shutil
import sqlite3
import stat
import tarfile
import threading
from datetime import UTC, datetime
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.serving import sole
from trainer.store import backup
from trainer.store.backup import DATABASE, KIND, LIST, Contents, make, restore, unpack
from trainer.store.database_file import check_database

MOMENT = datetime(2026, 3, 2, 9, 15, tzinfo=UTC)
LATER = datetime(2026, 3, 3, 9, 15, tzinfo=UTC)


def instance_with(folder: Path, rows: int = 3) -> Path:
    """An instance folder with a small database, settings, a private item and a key."""
    (folder / "question_bank").mkdir(parents=True)
    (folder / "logs").mkdir()
    (folder / "trainer.toml").write_text('house = "Tarn Valley"\n', encoding="utf-8")
    (folder / "question_bank" / "own.yaml").write_text("id: own\n", encoding="utf-8")
    (folder / "logs" / "commands.log").write_text("noise\n", encoding="utf-8")
    (folder / "signing.key").write_text("secret\n", encoding="utf-8")
    connection = sqlite3.connect(folder / DATABASE)
    connection.execute("PRAGMA journal_mode=WAL")
    connection.execute("CREATE TABLE answer (text TEXT)")
    connection.executemany("INSERT INTO answer VALUES (?)", [(f"{row} A",) for row in range(rows)])
    connection.commit()
    connection.close()
    return folder


def answers(instance: Path) -> int:
    """How many answers a database holds."""
    connection = sqlite3.connect(instance / DATABASE)
    try:
        count: int = connection.execute("SELECT count(*) FROM answer").fetchone()[0]
        return count
    finally:
        connection.close()


def test_what_was_backed_up_comes_back(tmp_path: Path) -> None:
    """Database, settings and private bank are the same on another machine."""
    file = make(instance_with(tmp_path / "here"), tmp_path / "stick", MOMENT)
    done = restore(file, tmp_path / "there", LATER)
    assert answers(tmp_path / "there") == 3
    assert (tmp_path / "there" / "trainer.toml").read_text(encoding="utf-8") == 'house = "Tarn Valley"\n'
    assert (tmp_path / "there" / "question_bank" / "own.yaml").exists()
    assert (done.files, done.put_aside) == (3, None)
    assert done.made.startswith("2026-03-02")


def test_key_goes_along_only_when_asked_for(tmp_path: Path) -> None:
    """A lost backup must not let its finder sign records."""
    here = instance_with(tmp_path / "here")
    restore(make(here, tmp_path / "a", MOMENT), tmp_path / "without", LATER)
    restore(make(here, tmp_path / "b", MOMENT, with_key=True), tmp_path / "with", LATER)
    assert not (tmp_path / "without" / "signing.key").exists()
    assert (tmp_path / "with" / "signing.key").read_text(encoding="utf-8") == "secret\n"


def test_logs_and_links_stay_behind(tmp_path: Path) -> None:
    """Neither logs nor what a symbolic link points to is in a backup, nor the lock, which ends once its holder reads it."""
    here = instance_with(tmp_path / "here")
    (here / sole.FILE).touch()
    (tmp_path / "private").write_text("elsewhere", encoding="utf-8")
    (here / "link").symlink_to(tmp_path / "private")
    with tarfile.open(make(here, tmp_path, MOMENT)) as archive:
        assert archive.getnames() == [LIST, DATABASE, "question_bank/own.yaml", "trainer.toml"]


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_backup_is_for_its_owner_only(tmp_path: Path) -> None:
    """Records are about people; others on the machine cannot read the file."""
    file = make(instance_with(tmp_path / "here"), tmp_path, MOMENT)
    assert stat.S_IMODE(file.stat().st_mode) == 0o600


def test_backup_while_others_write_is_of_one_moment(tmp_path: Path) -> None:
    """Pairs written in one transaction are never torn apart by a backup made meanwhile."""
    here = instance_with(tmp_path / "here", rows=0)
    stop = threading.Event()

    def write() -> None:
        connection = sqlite3.connect(here / DATABASE, timeout=30)
        while not stop.is_set():
            with connection:
                connection.execute("INSERT INTO answer VALUES ('first')")
                connection.execute("INSERT INTO answer VALUES ('second')")
        connection.close()

    writer = threading.Thread(target=write)
    writer.start()
    try:
        files = [make(here, tmp_path / str(number), MOMENT) for number in range(5)]
    finally:
        stop.set()
        writer.join()
    for number, file in enumerate(files):
        restore(file, tmp_path / f"back{number}", LATER)
        assert answers(tmp_path / f"back{number}") % 2 == 0


def test_records_in_place_are_not_overwritten(tmp_path: Path) -> None:
    """Without being told to replace them, a restore leaves the present records alone."""
    here = instance_with(tmp_path / "here")
    file = make(here, tmp_path, MOMENT)
    connection = sqlite3.connect(here / DATABASE)
    with connection:
        connection.execute("INSERT INTO answer VALUES ('newer')")
    connection.close()
    with pytest.raises(Conflict, match="--replace"):
        restore(file, here, LATER)
    assert answers(here) == 4


def test_replaced_records_are_put_aside(tmp_path: Path) -> None:
    """What a restore replaces is kept in a folder of its own and can be opened."""
    here = instance_with(tmp_path / "here")
    file = make(here, tmp_path, MOMENT)
    connection = sqlite3.connect(here / DATABASE)
    with connection:
        connection.execute("INSERT INTO answer VALUES ('newer')")
    connection.close()
    done = restore(file, here, LATER, replace=True)
    assert answers(here) == 3
    assert done.put_aside
    assert answers(done.put_aside) == 4


def test_restore_waits_for_a_stopped_server(tmp_path: Path) -> None:
    """Nothing is replaced under a program that has the records open."""
    here = instance_with(tmp_path / "here")
    file = make(here, tmp_path, MOMENT)
    server = sqlite3.connect(here / DATABASE)
    server.execute("SELECT count(*) FROM answer").fetchone()
    with pytest.raises(Conflict, match="Stop it, then restore"):
        restore(file, here, LATER, replace=True)
    server.close()
    restore(file, here, LATER, replace=True)


def test_a_trainer_that_is_started_meanwhile_is_seen(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Unpacking takes its time: whoever opens the records in it keeps them where they are."""
    here = instance_with(tmp_path / "here")
    file = make(here, tmp_path, MOMENT)
    server = sqlite3.connect(here / DATABASE)

    def slowly(file: Path, folder: Path) -> Contents:
        server.execute("SELECT count(*) FROM answer").fetchone()
        return unpack(file, folder)

    monkeypatch.setattr(backup, "unpack", slowly)
    with pytest.raises(Conflict, match="Stop it, then restore"):
        restore(file, here, LATER, replace=True)
    server.close()
    assert not (here / "put-aside").exists()


def test_a_backup_of_a_newer_program_replaces_nothing(tmp_path: Path) -> None:
    """An older program would stand before records that it cannot open; so the present ones stay in their place."""
    there, here = instance_with(tmp_path / "there"), instance_with(tmp_path / "here", rows=5)
    connection = sqlite3.connect(there / DATABASE)
    with connection:
        connection.execute("CREATE TABLE alembic_version (version_num TEXT)")
        connection.execute("INSERT INTO alembic_version VALUES ('9999')")
    connection.close()
    file = make(there, tmp_path, MOMENT)
    with pytest.raises(Conflict, match="made by a newer version"):
        restore(file, here, LATER, replace=True)
    assert answers(here) == 5
    assert [one.name for one in here.iterdir() if one.name.startswith(("restore-", "put-aside"))] == []


def test_a_folder_without_room_is_not_the_fault_of_the_backup(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever reads that a backup is not whole throws it away; here the disk is full, and the sentence says so."""
    file = make(instance_with(tmp_path / "here"), tmp_path, MOMENT)

    def full(*_: object, **__: object) -> None:
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(tarfile.TarFile, "extract", full)
    with pytest.raises(Refused, match="Nothing is wrong with the backup: make room"):
        restore(file, tmp_path / "there", LATER)


def test_backups_in_the_instance_do_not_hold_each_other(tmp_path: Path) -> None:
    """Kept in the folder itself, each would else hold all those before it and be twice as large."""
    here = instance_with(tmp_path / "here")
    make(here, here, MOMENT)
    make(here, here / "copies", MOMENT, seal=lambda plain, locked: shutil.copyfile(plain, locked))
    with tarfile.open(make(here, here / "copies", LATER)) as archive:
        assert archive.getnames() == [LIST, DATABASE, "question_bank/own.yaml", "trainer.toml"]


def test_empty_folder_has_nothing_to_back_up(tmp_path: Path) -> None:
    """A backup of nothing is an error, not an empty file."""
    with pytest.raises(NotFound, match="nothing to back up"):
        make(tmp_path / "none", tmp_path / "stick", MOMENT)
    assert not (tmp_path / "stick").exists()


def test_damaged_database_is_not_backed_up_as_good(tmp_path: Path) -> None:
    """A database with a spoilt page is reported; no backup that looks whole is left."""
    here = instance_with(tmp_path / "here", rows=2000)
    data = bytearray((here / DATABASE).read_bytes())
    data[4096 : 4096 + 300] = os.urandom(300)
    (here / DATABASE).write_bytes(data)
    with pytest.raises(Unreadable):
        make(here, tmp_path / "stick", MOMENT)
    assert list((tmp_path / "stick").iterdir()) == []


@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(place=st.floats(0, 1, exclude_max=True), bit=st.integers(0, 7))
def test_flipped_bit_is_found_or_harmless(tmp_path: Path, place: float, bit: int) -> None:
    """One wrong bit anywhere in the file: the restore refuses, or what comes back is the same to the byte."""
    if not (tmp_path / "here").exists():
        make(instance_with(tmp_path / "here"), tmp_path, MOMENT)
    whole = (tmp_path / "trainer-2026-03-02-091500.tar.gz").read_bytes()
    spoilt = bytearray(whole)
    spoilt[int(place * len(whole))] ^= 1 << bit
    file = tmp_path / "spoilt.tar.gz"
    file.write_bytes(spoilt)
    target = tmp_path / f"out-{len(list(tmp_path.iterdir()))}"
    target.mkdir()
    try:
        unpack(file, target)
    except Unreadable:
        return
    for name in ("trainer.toml", "question_bank/own.yaml"):
        assert (target / name).read_bytes() == (tmp_path / "here" / name).read_bytes()
    assert answers(target) == 3


@pytest.mark.parametrize("name", ["../evil", "/evil-from-a-backup", "a/../../evil", "C:\\evil"])
def test_paths_out_of_the_folder_are_refused(tmp_path: Path, name: str) -> None:
    """A made-up backup cannot write outside the instance."""
    file = made_up(tmp_path, {name: b"x", DATABASE: b""})
    with pytest.raises(Unreadable):
        restore(file, tmp_path / "there", LATER)
    assert not (tmp_path / "evil").exists()
    assert not Path("/evil-from-a-backup").exists()


@pytest.mark.parametrize("bound", ["MOST_FILES", "MOST_BYTES", "MOST_LIST_BYTES"])
def test_a_backup_without_end_is_not_unpacked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, bound: str
) -> None:
    """More files, more bytes or a longer list than any instance has are refused, and nothing stays behind."""
    file, there = make(instance_with(tmp_path / "here"), tmp_path, MOMENT), tmp_path / "there"
    monkeypatch.setattr(backup, bound, 2)
    with pytest.raises(Unreadable, match="not a whole backup"):
        restore(file, there, LATER)
    assert list(there.iterdir()) == []


@pytest.mark.parametrize("kind", [tarfile.XHDTYPE, tarfile.XGLTYPE, tarfile.GNUTYPE_LONGNAME])
def test_a_name_without_end_is_not_read(tmp_path: Path, kind: bytes) -> None:
    """A head that says a name of 100 MB follows is refused before anything of it is read."""
    head = tarfile.TarInfo("x")
    head.type, head.size = kind, 100_000_000
    file = tmp_path / "bomb.tar.gz"
    with gzip.open(file, "wb", compresslevel=1) as out:
        out.write(head.tobuf(tarfile.USTAR_FORMAT))
        out.writelines([bytes(1_000_000)] * 100)
    with pytest.raises(Unreadable, match="a name in it has no end"):
        unpack(file, tmp_path)


def test_settings_that_lead_elsewhere_are_no_backup(tmp_path: Path) -> None:
    """Records that were proven here, and a server of somebody else from the next start on: refused before either."""
    here = instance_with(tmp_path / "here")
    (here / "trainer.toml").write_text(
        'database = "postgresql+psycopg://x@elsewhere.example/x"\n', encoding="utf-8"
    )
    with pytest.raises(Unreadable, match="look for records elsewhere"):
        restore(make(here, tmp_path, MOMENT), tmp_path / "there", LATER)
    assert list((tmp_path / "there").iterdir()) == []


def test_a_database_with_a_program_in_it_is_damaged(tmp_path: Path) -> None:
    """A trigger that takes rows away at the next answer is named, whether the file is backed up or brought back."""
    here = instance_with(tmp_path / "here")
    connection = sqlite3.connect(here / DATABASE)
    connection.execute("CREATE TRIGGER sly AFTER INSERT ON answer BEGIN DELETE FROM answer; END")
    connection.close()
    with pytest.raises(Unreadable, match="trigger 'sly'"):
        check_database(here / DATABASE)
    with pytest.raises(Unreadable, match="trigger 'sly'"):
        make(here, tmp_path, MOMENT)


def test_links_in_a_backup_are_refused(tmp_path: Path) -> None:
    """A symbolic link, which could point anywhere, is not unpacked."""
    file = tmp_path / "made-up.tar.gz"
    with tarfile.open(file, "w:gz") as archive:
        link = tarfile.TarInfo("trainer.toml")
        link.type, link.linkname = tarfile.SYMTYPE, "/etc/passwd"
        archive.addfile(link)
    with pytest.raises(Unreadable, match="other things"):
        restore(file, tmp_path / "there", LATER)


def test_file_that_the_list_does_not_name_is_refused(tmp_path: Path) -> None:
    """A file slipped into a backup after it was made is found."""
    file = make(instance_with(tmp_path / "here"), tmp_path, MOMENT)
    plain = tmp_path / "plain.tar"
    plain.write_bytes(gzip.decompress(file.read_bytes()))
    with tarfile.open(plain, "a") as archive:
        extra = tarfile.TarInfo("issuers.toml")
        archive.addfile(extra, io.BytesIO())
    slipped = tmp_path / "slipped.tar.gz"
    slipped.write_bytes(gzip.compress(plain.read_bytes()))
    with pytest.raises(Unreadable, match="files that its own list names"):
        restore(slipped, tmp_path / "there", LATER)


@pytest.mark.parametrize(
    "content",
    [b"", b"hello", gzip.compress(b"hello", mtime=0), gzip.compress(b"\0" * 10240, mtime=0)],
    ids=["empty", "text", "packed text", "empty archive"],
)
def test_other_files_are_no_backup(tmp_path: Path, content: bytes) -> None:
    """Something else in the backup's place is named as that, and nothing is made."""
    file = tmp_path / "other.tar.gz"
    file.write_bytes(content)
    with pytest.raises(Unreadable, match=r"other\.tar\.gz"):
        restore(file, tmp_path / "there", LATER)
    assert list((tmp_path / "there").iterdir()) == []


@pytest.mark.parametrize(
    "listed",
    [b"{}", b"[]", b"{", b"[" * 100_000, json.dumps({"kind": KIND, "made": 1, "files": []}).encode()],
    ids=["no kind", "a list", "broken", "deep", "wrong kinds"],
)
def test_strange_lists_are_refused(tmp_path: Path, listed: bytes) -> None:
    """A list that is not one, or is nested without end, is refused with the file's name."""
    file = tmp_path / "strange.tar.gz"
    with tarfile.open(file, "w:gz") as archive:
        head = tarfile.TarInfo(LIST)
        head.size = len(listed)
        archive.addfile(head, io.BytesIO(listed))
    with pytest.raises(Unreadable, match=r"strange\.tar\.gz"):
        restore(file, tmp_path / "there", LATER)


def test_check_of_a_file_that_is_no_database(tmp_path: Path) -> None:
    """Text in the database's place is called damaged."""
    (tmp_path / DATABASE).write_text("hello " * 1000, encoding="utf-8")
    with pytest.raises(Unreadable, match="damaged"):
        check_database(tmp_path / DATABASE)


def made_up(folder: Path, files: dict[str, bytes]) -> Path:
    """A file that looks like a backup with these members."""
    listed = json.dumps({"kind": KIND, "made": "2026", "files": dict.fromkeys(files, "0")}).encode()
    file = folder / "made-up.tar.gz"
    with tarfile.open(file, "w:gz") as archive:
        for name, content in {LIST: listed, **files}.items():
            member = tarfile.TarInfo(name)
            member.size = len(content)
            archive.addfile(member, io.BytesIO(content))
    return file
