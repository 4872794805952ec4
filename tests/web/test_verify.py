"""Verifying a record without an account: the verdict in words first, never a crash, never valid by mistake."""

from __future__ import annotations

import io
from pathlib import Path

import pytest

from tests.conftest import Browser
from tests.entering import verified
from tests.make import People
from trainer.services.proving import issuers
from trainer.settings import Settings
from trainer.store import Database


@pytest.fixture
def record(store: Database, people: People, as_emma: Browser) -> bytes:
    """A signed record of Tess."""
    with store.writing() as session:
        verified(session, people.tess, people.tess, "trainee", people.emma)
    return as_emma.send(f"/employer/exports/{people.tess}", {"form": "credential"}).data


def judged(browser: Browser, data: bytes, **more: object) -> tuple[int, str]:
    """What the page says about a file."""
    sent: dict[str, object] = {"file": (io.BytesIO(data), "tess.json"), **more}
    response = browser.send("/verify", sent)
    return response.status_code, response.get_data(as_text=True)


def test_valid_without_an_account(record: bytes, nobody: Browser, as_emma: Browser, people: People) -> None:
    """A visitor reads valid, by whom, about whom; with the status list also as of when."""
    status, page = judged(nobody, record)
    assert (status, "Genuine and unchanged" in page, "TV-07" in page) == (200, True, True)
    assert "a withdrawal of this record cannot be seen" in page
    lists = as_emma.send("/employer/exports/status").data
    _status, page = judged(nobody, record, status=(io.BytesIO(lists), "status.json"))
    assert "Status as of 2026-11-25" in page


def test_the_certificate_is_judged_too(
    people: People, as_emma: Browser, nobody: Browser, record: bytes
) -> None:
    """A certificate PDF is judged by the record inside it."""
    paper = as_emma.send(f"/employer/exports/{people.tess}", {"form": "certificate"}).data
    assert "Genuine and unchanged" in judged(nobody, paper)[1]


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ((b'"7.5"', b'"9.5"'), "Do not rely on this file"),
        ((b"{", b"[{"), "no record that can be read"),
        ((b'"', b"\xff"), "no record that can be read"),
    ],
)
def test_changed_files_are_never_valid(
    record: bytes, nobody: Browser, change: tuple[bytes, bytes], says: str
) -> None:
    """A changed record is altered or unreadable, in words, with nothing that calls it valid."""
    status, page = judged(nobody, record.replace(*change, 1))
    assert (status, says in page, "Genuine" in page) == (200, True, False)


@pytest.mark.parametrize("data", [b"%PDF-1.7 nonsense", b"[" * 5000, b"{}", b"null", b"\x00" * 100, b"1e999"])
def test_hostile_files_get_a_sentence(people: People, nobody: Browser, data: bytes) -> None:
    """Whatever is sent, the answer is a sentence."""
    status, page = judged(nobody, data)
    assert (status, "no record that can be read" in page) == (200, True)


def test_another_day(record: bytes, nobody: Browser) -> None:
    """Before its day the record is not yet good; a day that is none is told at its field."""
    assert "not yet good" in judged(nobody, record, on="2026-01-01")[1]
    status, page = judged(nobody, record, on="soon")
    assert (status, 'id="on-fault"' in page) == (422, True)


def test_unknown_issuer(settings: Settings, record: bytes, nobody: Browser) -> None:
    """Without the key on the list the record is unchanged, and proves nothing about who stands behind it."""
    (settings.instance / issuers.FILE).write_text("", encoding="utf-8")
    page = judged(nobody, record)[1]
    assert ("the signer is not on the list" in page, "Calls itself" in page, "Genuine" in page) == (
        True,
        True,
        False,
    )


def test_a_spoilt_status_list_is_never_valid(record: bytes, nobody: Browser) -> None:
    """A status list that cannot be relied on makes the verdict that of the list."""
    page = judged(nobody, record, status=(io.BytesIO(b"{}"), "status.json"))[1]
    assert ("Genuine and unchanged" in page, "Status list" in page) == (False, True)


def test_nothing_sent(people: People, nobody: Browser) -> None:
    """Without a file the form says what to choose."""
    response = nobody.send("/verify")
    assert (response.status_code, 'id="file-fault"' in response.get_data(as_text=True)) == (422, True)
    assert nobody.get("/verify").status_code == 200


def test_the_page_to_take_along(settings: Settings, record: bytes, nobody: Browser, tmp_path: Path) -> None:
    """One HTML file with the pinned key inside, to keep, with no outside address to fetch."""
    response = nobody.get("/verify/page")
    own = issuers.pinned(settings.instance)[0].did
    assert response.headers["Content-Disposition"] == 'attachment; filename="verify.html"'
    assert own.encode() in response.data
    assert len(response.data) < 100_000


def test_file_names_are_shown_safely(record: bytes, nobody: Browser) -> None:
    """The name of a file is text, however it is spelt."""
    sent = {"file": (io.BytesIO(record), "<script>alert(1)</script>.json")}
    page = nobody.send("/verify", sent).get_data(as_text=True)
    assert "<script>alert" not in page
