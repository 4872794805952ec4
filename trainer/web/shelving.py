"""The bank that the pages work with: opened at the start, and again when own items are approved, withdrawn or unlocked."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime
from threading import Lock

from flask import current_app, g

from trainer.bank.spoken import Say
from trainer.bank.vocabulary import Vocabulary
from trainer.drills.shelf import Shelf
from trainer.drills.spoken import SpokenShelf
from trainer.jobs.casting import JobShelf
from trainer.languages import WRITTEN_IN, language
from trainer.languages.catalogue import content_catalogue
from trainer.languages.numerals import has_comma, with_commas
from trainer.services.authoring import approved, banks, draft_text, own_bank
from trainer.settings import Settings
from trainer.shopwork.shelf import ShopShelf
from trainer.store import Database
from trainer.web.access import Parts, parts

_ONE_AT_A_TIME = Lock()


def opened(
    settings: Settings, database: Database, clock: Callable[[], datetime], shelf: Shelf | None = None
) -> Parts:
    """The parts of an application over the bank as it is on the disk, with everything that is approved in it.

    Raises FaultyFiles for a fault of the shipped bank, Refused where the own bank cannot be written.
    """
    if shelf is None:
        with database.reading() as session:
            own_bank.settle(settings.private_bank, approved.standing(session))
            unlocked = approved.sealed_texts(session)
        shelf = draft_text.joined(banks.open_shelf(settings.private_bank), unlocked)
    return _over(settings, database, clock, shelf)


def in_language(held: Parts, tag: str) -> Parts:
    """The same parts with their bank in another language and with the reader's decimal sign; made for its first reader."""
    if tag == WRITTEN_IN:
        return held
    spoken = (tag, has_comma())
    with _ONE_AT_A_TIME:
        if spoken not in held.in_other_languages:
            shelf = SpokenShelf(held.shelf, _saying(*spoken))
            held.in_other_languages[spoken] = _over(held.settings, held.database, held.clock, shelf)
    return held.in_other_languages[spoken]


def _saying(tag: str, comma: bool) -> Say:
    say = content_catalogue(tag).gettext
    return (lambda text: with_commas(say(text))) if comma else say


def as_written() -> Parts:
    """The parts with the bank as it is written: where words of it are kept, they are kept for every reader."""
    held: Parts = current_app.extensions["trainer"]
    return held


def _over(settings: Settings, database: Database, clock: Callable[[], datetime], shelf: Shelf) -> Parts:
    words = Vocabulary(shelf.bank.terms)
    return Parts(settings, database, shelf, clock, JobShelf(shelf), ShopShelf(shelf), words)


def take_up() -> None:
    """Let the running pages have the bank as it is approved now. Others go on with the old one to their end."""
    with _ONE_AT_A_TIME:
        held = parts()
        fresh = opened(held.settings, held.database, held.clock)
        current_app.extensions["trainer"] = fresh
    g.parts = in_language(fresh, language())
