"""A key file: opens with its passphrase only, in other programs too, and never without a lock."""

from __future__ import annotations

import base64
import hashlib
import shutil
import subprocess
from pathlib import Path

import pytest
from cryptography.hazmat.primitives.ciphers import Cipher, algorithms, modes
from record_cases import EXAMINER

from trainer.errors import Refused, Unreadable
from trainer.records import keyfile
from trainer.records.keys import SigningKey

PASSPHRASE = "axle draw hook coil"
CHANCE = bytes(range(32))
FILE = keyfile.written(EXAMINER, PASSPHRASE, CHANCE)


def test_it_opens_with_its_passphrase() -> None:
    """The key comes back, however the keyboard composes its letters; the file does not tell it."""
    assert keyfile.read(FILE, PASSPHRASE) == EXAMINER
    composed = keyfile.written(EXAMINER, "Lim\u00f3n axle hook", CHANCE)
    assert keyfile.read(composed, "Limo\u0301n axle hook") == EXAMINER
    assert EXAMINER.pem().splitlines()[1] not in FILE


def test_the_lock_is_what_the_file_says() -> None:
    """Scrypt with N = 2^14, r = 8, p = 1 (RFC 7914, 7) and AES-256-CBC, opened by another scrypt (OpenSSL's)."""
    inside = base64.b64decode(b"".join(FILE.splitlines()[1:-1]))
    assert bytes.fromhex("0202 4000 0201 08 0201 01") in inside  # the three numbers in DER
    key = hashlib.scrypt(PASSPHRASE.encode(), salt=CHANCE[:16], n=2**14, r=8, p=1, dklen=32)
    opened = Cipher(algorithms.AES(key), modes.CBC(CHANCE[16:])).decryptor().update(inside[-64:])
    assert EXAMINER.seed + bytes([16] * 16) == opened[-48:]


def test_every_key_and_chance() -> None:
    """Whatever the bytes are, the file reads back (lengths and signs of the encoding)."""
    for number in range(0, 256, 5):
        key = SigningKey(bytes([number]) * 32)
        assert keyfile.read(keyfile.written(key, PASSPHRASE, bytes([255 - number]) * 32), PASSPHRASE) == key


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (FILE, "does not open"),
        (FILE.replace(b"M", b"N", 3), "does not open"),
        (FILE[:100], "does not open"),
        (EXAMINER.pem(), "no key file with a passphrase"),
        (b"", "no key file"),
        (FILE + b" " * 10_000, "no key file"),
    ],
    ids=["wrong passphrase", "damaged", "cut", "without a lock", "empty", "large"],
)
def test_what_does_not_open(data: bytes, says: str) -> None:
    """A sentence for each, and no difference between a wrong passphrase and a spoilt file."""
    with pytest.raises(Unreadable, match=says):
        keyfile.read(data, "another four words here")


def test_a_weak_passphrase_locks_nothing() -> None:
    """Too short, or the same few letters."""
    for weak in ("short", "aaaaaaaaaaaaaaaa"):
        with pytest.raises(Refused):
            keyfile.written(EXAMINER, weak, CHANCE)


def test_another_program_reads_it(tmp_path: Path) -> None:
    """OpenSSL opens the file and finds the same public key."""
    openssl = shutil.which("openssl")
    if openssl is None:
        pytest.skip("no openssl on this machine")
    (tmp_path / "key.pem").write_bytes(FILE)
    command = [openssl, "pkey", "-in", str(tmp_path / "key.pem"), "-passin", f"pass:{PASSPHRASE}"]
    done = subprocess.run(
        [*command, "-pubout", "-outform", "DER"], capture_output=True, check=True, timeout=60
    )
    assert done.stdout.endswith(EXAMINER.public)
