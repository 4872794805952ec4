"""The signing key of an installation."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from trainer.errors import NotFound, Unreadable
from trainer.services.proving import signing_key


def test_key_is_made_once_and_kept(tmp_path: Path) -> None:
    """The second call gives the key of the first, so employers know the installation again."""
    first = signing_key.ensure(tmp_path)
    assert signing_key.ensure(tmp_path).did == first.did
    assert signing_key.load(tmp_path).did == first.did


def test_two_installations_have_two_keys(tmp_path: Path) -> None:
    """No two installations sign with the same key."""
    (tmp_path / "a").mkdir()
    (tmp_path / "b").mkdir()
    assert signing_key.ensure(tmp_path / "a").did != signing_key.ensure(tmp_path / "b").did


@pytest.mark.skipif(os.name == "nt", reason="Windows has no such modes")
def test_key_is_for_its_owner_only(tmp_path: Path) -> None:
    """The file is made with mode 600 whatever the umask is; a wider mode is noticed."""
    before = os.umask(0)
    try:
        signing_key.ensure(tmp_path)
    finally:
        os.umask(before)
    file = tmp_path / signing_key.KEY_FILE
    assert stat.S_IMODE(file.stat().st_mode) == 0o600
    assert signing_key.is_private(tmp_path)
    file.chmod(0o640)
    assert not signing_key.is_private(tmp_path)


def test_missing_key_says_what_a_new_one_would_mean(tmp_path: Path) -> None:
    """Loading never makes a key in silence."""
    with pytest.raises(NotFound, match="There is no signing key"):
        signing_key.load(tmp_path)
    assert list(tmp_path.iterdir()) == []


def test_broken_key_file_is_not_overwritten(tmp_path: Path) -> None:
    """A file that is no key is reported and left as it is."""
    (tmp_path / signing_key.KEY_FILE).write_text("not a key", encoding="utf-8")
    with pytest.raises(Unreadable, match="key file"):
        signing_key.ensure(tmp_path)
    assert (tmp_path / signing_key.KEY_FILE).read_text(encoding="utf-8") == "not a key"
