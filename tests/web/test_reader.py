"""Whose language a page is in: the person's, else the device's, else English; and nobody else's."""

from __future__ import annotations

import pytest
from flask import Flask

from tests.conftest import Browser
from tests.web.test_habits import ALL
from trainer.languages import language

NAMED = {"es": "Idioma", "en": "Language"}


def heard(browser: Browser, accept: str | None, path: str = "/account/pages") -> str:
    """The language of a page that a device asks for in this way."""
    page = browser.get(path, headers={"Accept-Language": accept} if accept else {}).get_data(as_text=True)
    tag = page.split('<html lang="', 1)[1].split('"', 1)[0]
    assert path != "/account/pages" or NAMED[tag] in page
    return tag


@pytest.mark.parametrize(
    ("accept", "tag"),
    [("es", "es"), ("es-MX,es;q=0.9,en;q=0.1", "es"), ("fr, es;q=0.2", "es"), ("fr", "en"), (None, "en"), ("x" * 9000, "en")],
)  # fmt: skip
def test_who_has_chosen_nothing_reads_what_the_device_asks_for(
    as_tess: Browser, accept: str | None, tag: str
) -> None:
    """Also with a region, by preference, and with a header that makes no sense."""
    assert heard(as_tess, accept) == tag


def test_a_choice_goes_before_the_device(as_tess: Browser, as_ian: Browser) -> None:
    """Tess's choice is hers, on every device; Ian's pages stay as his device asks."""
    as_tess.send("/account/pages", ALL | {"language": "es"})
    assert (heard(as_tess, "en"), heard(as_ian, "en")) == ("es", "en")
    as_tess.send("/account/pages", ALL | {"language": "en"})
    assert heard(as_tess, "es") == "en"


def test_pages_without_an_account_follow_the_device(app: Flask) -> None:
    """The page that verifies a record is read by strangers; so is one that is not there."""
    browser = app.test_client()
    assert isinstance(browser, Browser)
    assert (heard(browser, "es", "/verify"), heard(browser, "es", "/nowhere")) == ("es", "es")


def test_a_request_leaves_no_language_behind(as_tess: Browser) -> None:
    """What the same thread does next is English again, so that nothing is kept in a reader's words."""
    assert heard(as_tess, "es") == "es"
    assert language() == "en"
