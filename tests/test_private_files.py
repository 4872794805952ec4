"""Files for their owner's eyes only: whole or not at all, never over another by mistake."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from trainer import private_files


def full_disk(_descriptor: int) -> None:
    """As the disk says at the end of a write that it cannot keep."""
    raise OSError(28, "No space left on device")


def mode(file: Path) -> int:
    """Who may do what with the file."""
    return stat.S_IMODE(file.stat().st_mode)


@pytest.mark.skipif(os.name == "nt", reason="Windows knows no such modes")
def test_nobody_else_may_read_them(tmp_path: Path) -> None:
    """Made anew or put in the place of an open one, a file is its owner's alone."""
    made, put = tmp_path / "made", tmp_path / "put"
    put.write_bytes(b"old")
    put.chmod(0o644)
    private_files.create(made, b"1")
    private_files.replace(put, b"2")
    assert (made.read_bytes(), put.read_bytes()) == (b"1", b"2")
    assert (mode(made), mode(put)) == (0o600, 0o600)


def test_a_file_that_is_there_is_not_made_again(tmp_path: Path) -> None:
    """Two who make the same key at once: the second is told, and the first one's stands."""
    private_files.create(tmp_path / "key", b"first")
    with pytest.raises(FileExistsError):
        private_files.create(tmp_path / "key", b"second")
    assert (tmp_path / "key").read_bytes() == b"first"


def test_on_a_full_disk_nothing_is_half_done(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file that could not be written to its end is not there; one that was to be replaced stands as it was."""
    private_files.create(tmp_path / "old", b"old")
    monkeypatch.setattr(os, "fsync", full_disk)
    with pytest.raises(OSError, match="No space left"):
        private_files.create(tmp_path / "new", b"new")
    with pytest.raises(OSError, match="No space left"):
        private_files.replace(tmp_path / "old", b"new")
    assert [file.name for file in tmp_path.iterdir()] == ["old"]
    assert (tmp_path / "old").read_bytes() == b"old"


def test_what_a_killed_process_left_is_in_nobodys_way(tmp_path: Path) -> None:
    """A process may get the number of one that was killed while it wrote."""
    left = tmp_path / f"list.{os.getpid()}.part"
    left.write_bytes(b"half")
    private_files.replace(tmp_path / "list", b"whole")
    assert [file.name for file in tmp_path.iterdir()] == ["list"]
    assert (tmp_path / "list").read_bytes() == b"whole"


def test_a_folder_in_its_place_is_told(tmp_path: Path) -> None:
    """What cannot be put in its place leaves nothing beside it."""
    (tmp_path / "list").mkdir()
    with pytest.raises(OSError):  # noqa: PT011  (each system has its own words)
        private_files.replace(tmp_path / "list", b"whole")
    assert [file.name for file in tmp_path.iterdir()] == ["list"]
