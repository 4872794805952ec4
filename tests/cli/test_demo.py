"""`trainer demo`: an empty instance is filled, one with people in it is left alone."""

from __future__ import annotations

from pathlib import Path

from click.testing import CliRunner

from trainer.cli import trainer
from trainer.services.inventing.demo import PASSPHRASE


def test_it_fills_an_empty_instance_and_refuses_a_filled_one(tmp_path: Path) -> None:
    """The first call says who can sign in; the second says that invented people must not mix with others."""
    where = ["--instance", str(tmp_path / "try"), "demo"]
    first = CliRunner().invoke(trainer, where)
    assert first.exit_code == 0, first.output
    assert PASSPHRASE in first.stdout
    assert "HK-03" in first.stdout
    again = CliRunner().invoke(trainer, where)
    assert again.exit_code == 1
    assert "must not mix" in again.stderr
