"""`trainer key make` and `trainer sign`: a person's own signature, made without the house, with a sentence for each fault."""

from __future__ import annotations

import json
import sys
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

sys.path.insert(0, str(Path(__file__).parent.parent / "records"))

from record_cases import HANDS, ISSUERS, LEVEL_III, SIGNERS, STRANGER, make_cosigned, make_signed

from trainer.cli import trainer
from trainer.cli.sign import ROLES
from trainer.records import certificate, issuers, jcs, keyfile, signers

PASSPHRASE = "axle draw hook coil"


def run(folder: Path, *arguments: str, typed: str = PASSPHRASE) -> Result:
    """Run one command of the trainer on a machine without a house."""
    command = ["--instance", str(folder / "nothing"), *arguments]
    return CliRunner().invoke(trainer, command, input=f"{typed}\n{typed}\n")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A record that names three, the key file of one of them, and a list of pinned keys."""
    (tmp_path / "tess.json").write_bytes(jcs.written(make_cosigned()))
    for number, hand in enumerate(HANDS):
        (tmp_path / f"{number}.pem").write_bytes(keyfile.written(hand, PASSPHRASE, bytes(32)))
    (tmp_path / "pinned.toml").write_text(issuers.write(ISSUERS), encoding="utf-8")
    return tmp_path


def sign(folder: Path, number: int, *more: str, file: str = "tess.json", role: str = "") -> Result:
    """Sign a file with the key of one of the three."""
    as_what = role or SIGNERS[number].role
    key = str(folder / f"{number}.pem")
    return run(folder, "sign", str(folder / file), "--key", key, "--as", as_what, *more)


def told(folder: Path, file: str = "tess.json") -> tuple[str, list[bool]]:
    """The verdict of a file, and who of the issuer and the three has signed."""
    checked = run(
        folder, "verify", str(folder / file), "--issuers", str(folder / "pinned.toml"), "--on", "2026-03-20",
        "--json",
    )  # fmt: skip
    outcome = json.loads(checked.stdout)
    return outcome["verdict"], [one["is_there"] for one in outcome["signatures"]]


def test_roles_are_those_of_the_room() -> None:
    """The command knows every role in which people sign."""
    assert signers.ROLES == ROLES


def test_two_sign_the_examiner_and_the_level_iii(folder: Path) -> None:
    """Each puts a signature to the same file; the third is told as missing, with words and keys."""
    done = sign(folder, 1)
    assert done.exit_code == 0, done.output
    assert "signed by Emma Łuk as Level III" in done.stdout
    assert "Prerequisites for MT Level II under SNT-TC-1A 2020 met" in done.stdout
    assert sign(folder, 0).exit_code == 0
    assert told(folder) == ("valid", [True, True, True, False])
    shown = run(folder, "verify", str(folder / "tess.json"), "--issuers", str(folder / "pinned.toml")).stdout
    assert f"Not yet signed by the employer, Ina Beck. {SIGNERS[2].did}" in shown


def test_a_new_file_leaves_the_old_one(folder: Path) -> None:
    """With --out the record itself stays as it was; the new file is for its owner only."""
    before = (folder / "tess.json").read_bytes()
    assert sign(folder, 1, "--out", str(folder / "new.json")).exit_code == 0
    assert (folder / "tess.json").read_bytes() == before
    assert (folder / "new.json").stat().st_mode & 0o077 == 0
    assert told(folder, "new.json")[1] == [True, False, True, False]


def test_a_certificate_is_drawn_anew(folder: Path) -> None:
    """A certificate comes back as one, with the signature on the page and in the record inside."""
    from datetime import UTC, datetime

    (folder / "tess.pdf").write_bytes(
        certificate.pdf(jcs.written(make_cosigned()), datetime(2026, 3, 2, tzinfo=UTC))
    )
    assert sign(folder, 1, file="tess.pdf").exit_code == 0
    assert (folder / "tess.pdf").read_bytes().startswith(b"%PDF-")
    assert told(folder, "tess.pdf") == ("valid", [True, False, True, False])


def test_a_key_that_was_made_opens_and_signs(folder: Path) -> None:
    """The key file has mode 600 and a lock; its public name is printed, to be put on a record; then it signs."""
    done = run(folder, "key", "make", "--out", str(folder / "mine.pem"))
    assert done.exit_code == 0, done.output
    file, did = folder / "mine.pem", done.stdout.split()[-1]
    assert file.stat().st_mode & 0o777 == 0o600
    assert keyfile.read(file.read_bytes(), PASSPHRASE).did == did
    named = (signers.Signer(did, "Tilda", "employer"),)
    (folder / "tess.json").write_bytes(make_signed(signers=named))
    done = run(folder, "sign", str(folder / "tess.json"), "--key", str(file), "--as", "employer")
    assert done.exit_code == 0, done.output
    assert told(folder) == ("valid", [True, True])


@pytest.mark.parametrize("typed", ["short", "aaaaaaaaaaaaaa"])
def test_a_weak_passphrase_makes_no_key(folder: Path, typed: str) -> None:
    """One sentence, and no file."""
    done = run(folder, "key", "make", "--out", str(folder / "mine.pem"), typed=typed)
    assert (done.exit_code != 0, (folder / "mine.pem").exists()) == (True, False)
    assert "passphrase" in done.stderr


def test_what_is_not_signed(folder: Path) -> None:
    """Wrong passphrase, wrong role, twice, unknown key, altered, unreadable: a sentence each, the file untouched."""
    record, key = folder / "tess.json", str(folder / "1.pem")
    before = record.read_bytes()
    stranger = keyfile.written(STRANGER, PASSPHRASE, bytes(32))
    (folder / "stranger.pem").write_bytes(stranger)
    (folder / "plain.pem").write_bytes(LEVEL_III.pem())
    (folder / "altered.json").write_bytes(before.replace(b"85.30", b"95.30"))
    (folder / "cut.json").write_bytes(before[:300])

    def says(file: str, key: str, role: str = "Level III", typed: str = PASSPHRASE) -> str:
        done = run(folder, "sign", str(folder / file), "--key", key, "--as", role, typed=typed)
        assert done.exit_code not in (0, 70), done.output
        return done.stderr

    assert "not its passphrase" in says("tess.json", key, typed="four other words here")
    assert "as Level III, not as examiner" in says("tess.json", key, "examiner")
    assert "does not name the key" in says("tess.json", str(folder / "stranger.pem"))
    assert "no key file with a passphrase" in says("tess.json", str(folder / "plain.pem"))
    assert "cannot be opened" in says("tess.json", str(folder / "none.pem"))
    assert "not as it was signed" in says("altered.json", key)
    assert "not complete JSON" in says("cut.json", key)
    assert "cannot be opened" in says("none.json", key)
    assert "is not one of" in says("tess.json", key, "inspector")
    assert record.read_bytes() == before
    assert sign(folder, 1).exit_code == 0
    once = record.read_bytes()
    assert "signed this record already" in says("tess.json", key)
    assert record.read_bytes() == once
    assert sorted(file.name for file in folder.iterdir() if file.suffix == ".part") == []


def test_no_file_is_overwritten(folder: Path) -> None:
    """A file named with --out that exists is left alone, by both commands."""
    (folder / "mine").write_text("mine")
    for done in (
        sign(folder, 1, "--out", str(folder / "mine")),
        run(folder, "key", "make", "--out", str(folder / "mine")),
    ):
        assert "exists already" in done.stderr
    assert (folder / "mine").read_text() == "mine"
