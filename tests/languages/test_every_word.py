"""Every word of every page can be said in another language."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.browser.whole_house import House, addresses, filled
from tests.languages.unmarked import TAG, Marks, SentenceMarks, any_of, data_of, names_of, unmarked
from tests.stores import Stock
from trainer import languages
from trainer.settings import Settings
from trainer.web import shelving

MARKED = (
    (languages, "catalogue", Marks()),
    (languages, "content_catalogue", SentenceMarks()),
    (shelving, "content_catalogue", SentenceMarks()),
)
"""Whatever looks a language up."""
ENGLISH = {"public.take_along"}
"""The page that verifies records without this program is English until its own script says otherwise."""


@pytest.fixture(scope="module")
def house(stock: Stock, tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """The filled demo with the shipped bank, whose pages can be read with marks round what can be translated."""
    instance: Path = tmp_path_factory.mktemp("words")
    house = filled(Settings(instance=instance, database=stock.fresh(instance)))
    with pytest.MonkeyPatch.context() as patch:
        patch.setitem(languages.LANGUAGES, TAG, "marks")
        for module, name, marks in MARKED:
            patch.setattr(module, name, lambda _tag, marks=marks: marks)
        yield house
    house.parts.database.close()


def unmarked_texts(house: House) -> dict[str, list[str]]:
    """What stands on each page outside of all marks: {endpoint: texts}; pages that are clean are left out."""
    with house.parts.database.reading() as session:
        names = any_of(data_of(session), names_of(house.parts.bank))
    found = {}
    for name, (number, address) in addresses(house).items():
        reply = house.client(number).get(address, headers={"Accept-Language": TAG})
        if reply.mimetype == "text/html" and name not in ENGLISH:
            found[name] = list(unmarked(reply.get_data(as_text=True), names))
    return {name: texts for name, texts in found.items() if texts}


def test_no_word_is_out_of_reach(house: House) -> None:
    """Read in a language of marks, no page shows a word without them, but for names and what people typed."""
    assert unmarked_texts(house) == {}
