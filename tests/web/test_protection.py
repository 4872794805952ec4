"""What stands between the pages and the network refuses what no browser of ours would send."""

from __future__ import annotations

import io
import logging
import zipfile

import pytest
import xlsxwriter
from flask import Flask

from tests.conftest import Browser
from tests.make import NOW, PASSPHRASE, People
from tests.work import calls_in
from trainer.services.admitting import joining, passphrases, roster_file, sign_in
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Person
from trainer.web.access import COOKIE
from trainer.web.protection import FORM, MOST_FIELDS

CHOSEN = "chosen-by-somebody-else"


@pytest.fixture
def joined(store: Database, people: People) -> str:
    """Tess has a passphrase; her number."""
    with store.writing() as session:
        tess = session.get(Person, people.tess)
        assert tess
        tess.passphrase_hash = passphrases.hashed(PASSPHRASE)
        return tess.works_number


def test_a_character_that_nobody_types_is_refused(people: People, as_tess: Browser) -> None:
    """NUL in an address names nothing; in a field it is refused with a sentence, in every kind of store."""
    assert as_tess.get("/record/entries/%00").status_code == 404
    for reply in (as_tess.get("/?next=%00"), as_tess.send("/join", {"code": "a\0b"})):
        assert (reply.status_code, "no keyboard" in reply.get_data(as_text=True)) == (422, True)


@pytest.mark.parametrize("verb", ["POST", "GET"])
def test_a_form_of_countless_fields_is_not_taken_apart(people: People, nobody: Browser, verb: str) -> None:
    """It is refused with a sentence for hardly more work than a page; one of as many fields as allowed is read."""
    replies = []

    def send(fields: int) -> None:
        body = b"works_number=1" + b"&a" * (fields - 1)
        replies.append(nobody.open("/sign-in", method=verb, data=body, content_type=FORM))

    send(1)
    assert calls_in(lambda: send(900_000)) < 20_000
    send(MOST_FIELDS)
    send(MOST_FIELDS + 1)
    assert [reply.status_code == 413 for reply in replies] == [False, True, False, True]
    for refused in (replies[1], replies[3]):
        assert "fewer fields" in refused.get_data(as_text=True)


def test_a_new_address_of_the_machine_is_told_how_to_start_again(people: People, nobody: Browser) -> None:
    """Asked by an address that it did not have at its start, the program refuses and says what to do."""
    reply = nobody.get("/sign-in", base_url="http://192.168.7.9:8000")
    assert (reply.status_code, reply.mimetype) == (400, "text/plain")
    for told in ("new address", "start it again with --lan", "hosts of trainer.toml"):
        assert told in reply.get_data(as_text=True)


@pytest.mark.parametrize(
    "site",
    [
        "http://elsewhere-localhost",
        "http://localhost.elsewhere.example",
        "http://localhost:1",
        "localhost",
        "",
    ],
)
def test_a_site_whose_name_looks_like_ours_is_another(joined: str, nobody: Browser, site: str) -> None:
    """The whole name counts, with its port; one that is not told is none of ours."""
    form = {"works_number": joined, "passphrase": PASSPHRASE, "csrf_token": nobody.token()}
    assert nobody.post("/sign-in", data=form, headers={"Origin": site}).status_code == 403
    assert nobody.post("/sign-in", data=form, headers={"Origin": "http://localhost"}).status_code == 303


def test_a_sign_in_that_was_planted_is_not_taken(joined: str, store: Database, nobody: Browser) -> None:
    """A token that somebody else put into the browser is worth nothing before signing in and is replaced by it."""
    nobody.set_cookie(COOKIE, CHOSEN)
    assert nobody.get("/account/").status_code == 303
    assert nobody.send("/sign-in", {"works_number": joined, "passphrase": PASSPHRASE}).location == "/"
    kept = nobody.get_cookie(COOKIE)
    assert kept
    assert kept.value != CHOSEN
    with store.reading() as session:
        assert sign_in.who(session, CHOSEN, NOW) is None


@pytest.mark.parametrize(
    "path",
    [
        "/static/../../trainer.toml", "/static/%2e%2e/%2e%2e/pyproject.toml", "/static/..%5c..%5csettings.py",
        "/static//etc/passwd", "/static/%2fetc%2fpasswd", "/static/", "/static/./../app.py", "/static/%00",
    ],
)  # fmt: skip
def test_no_address_leads_out_of_the_folder(people: People, nobody: Browser, path: str) -> None:
    """Files are handed out from one folder only, however the way up is written."""
    assert nobody.get(path, follow_redirects=True).status_code == 404


@pytest.mark.parametrize("evil", ["/\r\nSet-Cookie: a=b", "/\nX: y", "/%0d%0aSet-Cookie:%20a=b"])
def test_no_text_becomes_a_header(joined: str, nobody: Browser, evil: str) -> None:
    """A line break in what leads on after signing in never reaches a header of its own."""
    reply = nobody.send("/sign-in", {"works_number": joined, "passphrase": PASSPHRASE, "next": evil})
    cookies = [value.split("=")[0] for value in reply.headers.getlist("Set-Cookie")]
    assert (reply.status_code, set(cookies) <= {COOKIE, "trainer_form"}, "X" in reply.headers) == (
        303,
        True,
        False,
    )


def test_nothing_secret_is_logged(
    app: Flask,
    joined: str,
    nobody: Browser,
    as_tess: Browser,
    caplog: pytest.LogCaptureFixture,
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    """When the program itself fails, the log names the page and holds no passphrase, token, code or cookie."""
    app.testing = False
    token = nobody.token()

    def fail(*_: object) -> int:
        raise ZeroDivisionError("within")

    for module, name in ((sign_in, "check"), (sign_in, "open_sessions"), (joining, "check_first_code")):
        monkeypatch.setattr(module, name, fail)
    with caplog.at_level(logging.DEBUG):
        failed = [
            nobody.send("/sign-in", {"works_number": joined, "passphrase": PASSPHRASE}),
            nobody.get("/first/a-token-for-one"),
            as_tess.get("/account/?from=a-link-of-mine"),
        ]
    assert [reply.status_code for reply in failed] == [500, 500, 500]
    logged = "\n".join(map(logging.Formatter("%(message)s").format, caplog.records))
    for page in ("POST /sign-in", "GET /first/<token>", "GET /account/"):
        assert page in logged
    cookies = (nobody.get_cookie("trainer_form"), as_tess.get_cookie(COOKIE))
    kept = [cookie.value for cookie in cookies if cookie]
    assert len(kept) == 2
    told = (PASSPHRASE, token, "a-token-for-one", "a-link-of-mine", app.config["SECRET_KEY"].hex(), *kept)
    for secret in told:
        assert secret not in logged


def test_who_tries_doors_stands_in_the_log(
    joined: str, as_tess: Browser, nobody: Browser, settings: Settings, caplog: pytest.LogCaptureFixture
) -> None:
    """A wrong sign-in, one too many, a page of another role: each is a line with the machine
    that asked, whatever it says of others, and no secret."""
    for _ in range(settings.sign_in_tries + 1):
        nobody.send("/sign-in", {"works_number": joined, "passphrase": "four wrong words here"})
    as_tess.get("/employer/exports/1", headers={"X-Forwarded-For": "192.0.2.7"})
    assert caplog.messages == [
        *["a sign-in was refused, from 127.0.0.1"] * settings.sign_in_tries,
        "refused with 429: POST /sign-in, from 127.0.0.1",
        "refused with 403: GET /employer/exports/<int:person_id>, from 127.0.0.1",
    ]


def test_a_workbook_is_read_for_its_words_only() -> None:
    """Formulas, links to other files and macros of a workbook are not followed: a cell is text or nothing."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet = book.add_worksheet()
    sheet.write_row(0, 0, ["name", "works number"])
    sheet.write_row(1, 0, ["Ada", "TV-41"])
    sheet.write_formula(2, 0, "='file:///etc/[passwd]x'!A1", None, "Bea")
    sheet.write_string(2, 1, "=cmd|' /C calc'!A0")
    book.close()
    with zipfile.ZipFile(out, "a") as archive:
        archive.writestr("xl/externalLinks/externalLink1.xml", "<externalLink/>")
        archive.writestr("xl/vbaProject.bin", b"MZ")
    rows = roster_file.read(out.getvalue())
    assert [(row.name, row.works_number) for row in rows] == [("Ada", "TV-41"), ("Bea", "=cmd|' /C calc'!A0")]


@pytest.mark.parametrize("head", [b"%PDF-1.7\n", b"GIF89a", b"MZ\x90\x00", b"\xff\xd8\xff\xe0"])
def test_a_file_of_two_kinds_is_no_roster(head: bytes) -> None:
    """A whole workbook behind the head of another kind of file is not opened as one."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        sheet.write_row(0, 0, ["name", "works number"])
        sheet.write_row(1, 0, ["Ada", "TV-41"])
    assert [row.name for row in roster_file.read(out.getvalue())] == ["Ada"]
    with pytest.raises(roster_file.Unreadable):
        roster_file.read(head + out.getvalue())


def test_a_browser_has_one_form_token_and_no_other_can_use_it(as_tess: Browser, as_ian: Browser) -> None:
    """It is signed once and stays the same from page to page; another browser's is refused."""
    own, others = as_tess.token(), as_ian.token()
    assert (as_tess.token(), own != others) == (own, True)
    sent = [as_tess.post("/sign-out", data={"csrf_token": token}) for token in (others, own)]
    assert [reply.status_code for reply in sent] == [400, 303]
