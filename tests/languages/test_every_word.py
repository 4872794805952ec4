"""Every word of every page can be said in another language."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.whole_house import House, addresses, fill
from tests.conftest import Browser
from tests.languages.unmarked import TAG, Marks, data_of, unmarked
from tests.make import Clock
from tests.stores import Stock
from trainer import languages
from trainer.app import create_app
from trainer.services import schemes
from trainer.settings import Settings
from trainer.web import shelving

MARKED = ((languages, "catalogue"), (languages, "content_catalogue"), (shelving, "content_catalogue"))
"""Whatever looks a language up."""


@pytest.fixture(scope="module")
def house(stock: Stock, tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The filled demo with the shipped bank, whose pages can be read with marks round what can be translated."""
    instance: Path = tmp_path_factory.mktemp("words")
    app = create_app(Settings(instance=instance, database=stock.fresh(instance)), clock=Clock())
    app.test_client_class = Browser
    app.testing = True
    house = fill(app)
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(languages.LANGUAGES, TAG, "marks")
        for module, name in MARKED:
            patch.setattr(module, name, lambda _tag: Marks())
        yield house
    house.parts.database.close()


def unmarked_texts(house: House) -> dict[str, list[str]]:
    """What stands on each page outside of all marks: {endpoint: texts}; pages that are clean are left out.

    A scheme is quoted as its document is called. A page that says it is English, the one to take along, is.
    """
    with house.parts.database.reading() as session:
        data = data_of(session) | set(scheme_texts(house.parts.settings.private_bank))
    found = {}
    for name, (number, address) in addresses(house).items():
        reply = house.client(number).get(address, headers={"Accept-Language": TAG})
        if reply.mimetype == "text/html" and b'<html lang="en">' not in reply.data:
            found[name] = list(unmarked(reply.get_data(as_text=True), data))
    return {name: texts for name, texts in found.items() if texts}


def scheme_texts(private_bank: Path) -> Iterator[str]:
    """What the documents of the schemes are called, their clauses, and the figures that a clause names beside its own."""
    for scheme in schemes.known(private_bank).values():
        yield f"{scheme.document} {scheme.edition}"
        yield from (f"{one.document} {one.edition} {one.clause or ''}" for one in scheme.figures.values())
    yield "general.questions specific.questions weights"


def test_no_word_is_out_of_reach(house: House) -> None:
    """Read in a language of marks, no page shows a word without them, but for names and what people typed."""
    assert unmarked_texts(house) == {}
