"""The bank that is shipped and the small one of the tests, each read once for a whole run."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from trainer.drills.shelf import Shelf
from trainer.settings import bank_folder


@cache
def shipped_shelf() -> Shelf:
    """What is shipped, with the solved forms beside it."""
    return Shelf.of_folder(bank_folder())


@cache
def small_shelf() -> Shelf:
    """The bank whose few drills do not change with the content."""
    return Shelf.of_folder(Path(__file__).with_name("small_bank"))
