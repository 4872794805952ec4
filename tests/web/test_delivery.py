"""How files and pages travel: stamped, kept, packed, and the same once unpacked."""

from __future__ import annotations

import gzip
import re
from pathlib import Path

import pytest
from flask import Flask
from werkzeug.test import TestResponse

from tests.conftest import Browser
from tests.make import People
from trainer.web import delivery

GZIP = {"Accept-Encoding": "gzip, deflate, br"}
TOKEN = re.compile(
    rb'(csrf-token" content|csrf_token" value)="[^"]+"'
)  # of the forms, with the second in which it was made


def get(browser: Browser, path: str, headers: dict[str, str] | None = None) -> TestResponse:
    """One answer, read to its end."""
    with browser.get(path, headers=headers or {}) as response:
        response.get_data()
    return response


def address(app: Flask, name: str) -> str:
    """The address of a file of the pages."""
    return f"{app.static_url_path}/{name}"


def test_address_changes_with_any_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A changed byte or a changed name gives all files new addresses; nothing changed, the same ones."""
    monkeypatch.setattr(delivery, "FOLDER", tmp_path)
    found = set()
    (tmp_path / "fonts").mkdir()
    for name, text in (("a.css", "1"), ("a.css", "2"), ("fonts/b.css", "2")):
        (tmp_path / name).write_text(text)
        found.add(delivery.stamped_address())
        assert delivery.stamped_address() in found
    assert len(found) == 3


def test_font_lies_beside_the_style_sheet(app: Flask, nobody: Browser) -> None:
    """What the style sheet names is found under the same stamp, and kept as long."""
    style = get(nobody, address(app, "tokens.css")).get_data(as_text=True)
    assert "workshop-maths.woff2" in style
    font = get(nobody, address(app, "workshop-maths.woff2"), GZIP)
    assert (font.status_code, font.headers["Cache-Control"]) == (200, "public, max-age=31536000, immutable")
    assert "Content-Encoding" not in font.headers, "it is packed already"


def test_missing_file_is_not_remembered(app: Flask, nobody: Browser) -> None:
    """A file that is not there may be there after the next start: browsers must ask again."""
    for path in (address(app, "nothing.css"), "/static/000000000000/house.css"):
        missing = get(nobody, path)
        assert (missing.status_code, missing.headers["Cache-Control"]) == (404, "no-store")


def test_page_and_file_are_the_same_once_unpacked(app: Flask, people: People, as_ian: Browser) -> None:
    """Packed answers are smaller by half at least, and say the same."""
    for path in ("/verify", address(app, "house.css")):
        plain, packed = get(as_ian, path), get(as_ian, path, GZIP)
        assert packed.headers["Content-Encoding"] == "gzip"
        assert int(packed.headers["Content-Length"]) == len(packed.data) < len(plain.data) / 2
        assert TOKEN.sub(b"", gzip.decompress(packed.data)) == TOKEN.sub(b"", plain.data)
        assert "Content-Encoding" not in plain.headers
        assert "Accept-Encoding" in plain.headers["Vary"]
        assert "Accept-Encoding" in packed.headers["Vary"]


@pytest.mark.parametrize("accepts", ["", "identity", "gzip;q=0", "br", "*;q=0"])
def test_nothing_is_packed_for_a_browser_that_cannot_unpack(nobody: Browser, accepts: str) -> None:
    """Only who names gzip gets gzip."""
    assert "Content-Encoding" not in get(nobody, "/sign-in", {"Accept-Encoding": accepts}).headers


def test_small_answers_are_left_as_they_are(app: Flask, nobody: Browser) -> None:
    """A redirect would only grow."""
    assert "Content-Encoding" not in get(nobody, "/trainee/", GZIP).headers


def test_kept_file_is_not_sent_again(app: Flask, nobody: Browser) -> None:
    """A browser that asks for a packed file it still has is told so, with no body."""
    first = get(nobody, address(app, "house.css"), GZIP)
    again = get(nobody, address(app, "house.css"), GZIP | {"If-None-Match": first.headers["ETag"]})
    assert (again.status_code, again.data) == (304, b"")


def test_part_of_a_file_is_not_packed(app: Flask, nobody: Browser) -> None:
    """A part is asked for in bytes of the file as it is."""
    part = get(nobody, address(app, "house.css"), GZIP | {"Range": "bytes=0-1999"})
    assert part.status_code == 206
    assert "Content-Encoding" not in part.headers


def test_a_script_is_told_where_the_outcome_stands(people: People, as_tess: Browser) -> None:
    """Who sends by script gets the address and no page; a form is led there as ever, and a fault is shown as ever."""
    script = {"headers": {"Idempotency-Key": "one"}}
    for more, status in (({}, 303), (script, 201)):
        reply = as_tess.send("/trainee/practice", **more)
        assert (reply.status_code, "/trainee/practice/" in reply.location) == (status, True)
    assert reply.get_data() == b""
    assert as_tess.send(f"{reply.location}", {"answer": "?"}, **script).status_code == 422
