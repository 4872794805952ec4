"""Hostile requests to every page and form of a filled house, by everybody who is in it and by nobody.

Most of each request is as a browser would send it, so that it comes far; the rest is hostile: method, address,
query, headers, form, files, raw bytes, lengths that lie. Besides a status of 500 a reply is bad that opens a closed
page, leads elsewhere, has text of a request unescaped in it, or lacks the headers that every reply has.
"""

from __future__ import annotations

import gzip
import io
import logging
import random
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any
from urllib.parse import quote, urlsplit

from flask import Flask
from werkzeug.routing import Rule
from werkzeug.test import TestResponse

from tests.browser.whole_house import NOBODY
from tests.faults.fuzzing import Target
from tests.faults.fuzzing.spoiling import bytes_spoilt, text
from tests.faults.fuzzing.street import MARK, Street
from tests.files import PDF
from tests.house.test_routes import rules
from trainer.store.models import ROLES
from trainer.web.access import COOKIE, GUARDED

OF_ONE_HOUSE = 2000  # requests, after which a new one is opened: people were erased, examinations ended
METHODS = ("HEAD", "OPTIONS", "PUT", "DELETE", "PATCH", "TRACE", "PROPFIND", "get", "X" * 300, "POST", "GET")
TYPES = ("application/json", "text/plain", "multipart/form-data; boundary=", "multipart/form-data", "", "x" * 900,
         "application/x-www-form-urlencoded; charset=utf-7", "multipart/form-data; boundary=x", "image/svg+xml")  # fmt: skip
HEADERS: dict[str, tuple[str, ...]] = {
    "Host": ("elsewhere.example", "localhost:99999", "", "localhost@elsewhere.example", "[::1", "a" * 300, "127.1"),
    "Origin": ("null", "http://elsewhere.example", "http://localhost.elsewhere.example", "http://[", "", "x" * 3000),
    "Accept-Language": ("es", "*", "es;q=x", "q=", ",".join(["es"] * 900), "es-" + "x" * 900, "en;q=1e999", "-"),
    "Cookie": (f"{COOKIE}=x", f"{COOKIE}=" + "a" * 4000, "trainer_form=.", "=;=;", f'{COOKIE}="\\777"', "a" * 5000),
    "Range": ("bytes=0-", "bytes=-1", "bytes=9-1,0-0", "x", "bytes=" + "0-1," * 500),
    "If-None-Match": ("*", '"x"', "W/"), "If-Modified-Since": ("x", "Thu, 01 Jan 1970 00:00:00 GMT", "9" * 99),
    "Content-Encoding": ("gzip", "deflate", "br"), "Accept-Encoding": ("gzip;q=x", "*;q=0", "gzip"),
    "X-Forwarded-For": ("1.2.3.4", "x" * 900), "X-Forwarded-Host": ("elsewhere.example",), "Expect": ("100-continue",),
    "Referer": ("javascript:alert(1)", "//elsewhere.example"), "X-HTTP-Method-Override": ("DELETE",), "Upgrade": ("h2c",),
}  # fmt: skip
LIES: tuple[dict[str, Any], ...] = (
    {"CONTENT_LENGTH": "-1"}, {"CONTENT_LENGTH": "x"}, {"CONTENT_LENGTH": "99"}, {"CONTENT_LENGTH": "9" * 30},
    {"QUERY_STRING": "%"}, {"QUERY_STRING": "a=%ff&%00=1&&=&a[]=1&a.b=2"}, {"QUERY_STRING": "a=1&" * 2000}, {"REMOTE_ADDR": ""},
    {"PATH_INFO": "/\xff\xfe"}, {"PATH_INFO": ""}, {"PATH_INFO": "//elsewhere.example/x"}, {"SCRIPT_NAME": "/x"},
    {"PATH_INFO": "/" + "a/" * 900}, {"wsgi.url_scheme": "https"}, {"SERVER_NAME": "x y"}, {"SERVER_PROTOCOL": "HTTP/0.9"},
)  # fmt: skip
PATHS = (
    "..",
    "%2e%2e%2f",
    "/..%5c",
    "//",
    "/.",
    "%00",
    ";x=1",
    "/1",
    "%",
    "\u202e",
    "/" + "9" * 40,
    "?next=//elsewhere.example",
    MARK,
)
FILES = (b"", b"\0", PDF, b"PK\3\4" + b"\0" * 40, b"a,b\n=1+1,2\n", b"\xff\xd8\xff\xe0", b"{" * 5000, b"x" * 300_000,
         b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>", b"specimens: [{code: P4, title: x, known: []}]")  # fmt: skip
NEXT = (
    "//elsewhere.example",
    "http://elsewhere.example",
    "/\\elsewhere.example",
    "/\t/elsewhere.example",
    "/trainee/",
)


@contextmanager
def begun(folder: Path) -> Iterator[Target]:
    """Send one hostile request after the other."""
    street = Street(folder)
    street.build()
    street.move()
    listening = _Listening(street.said)
    logging.getLogger("trainer").addHandler(listening)
    sent = 0

    def one(chance: random.Random) -> str:
        nonlocal sent
        sent += 1
        if sent % OF_ONE_HOUSE == 0:
            street.move()
        return _sent(street, street.app, chance.choice(street.hands), chance)

    yield one
    logging.getLogger("trainer").removeHandler(listening)
    street.leave()


class _Listening(logging.Handler):
    """Hears which surprise stood behind a page with status 500."""

    def __init__(self, said: list[str]) -> None:
        super().__init__(logging.ERROR)
        self.said = said

    def emit(self, record: logging.LogRecord) -> None:
        self.said.append(f"{record.getMessage()}: {record.exc_info[1]!r}" if record.exc_info else "")


def _sent(street: Street, app: Flask, hand: str, chance: random.Random) -> str:
    browser, token = street.browser(hand)
    endpoint, method, path = _place(street, app, chance)
    headers = {name: chance.choice(HEADERS[name]) for name in chance.sample(list(HEADERS), _few(chance))}
    lies = chance.choice(LIES) if chance.random() < 0.05 else {}
    street.said.clear()
    reply = browser.open(
        path, method=method, headers=headers, environ_overrides=lies, **_body(street, token, method, chance)
    )
    asked = f"{method[:9]} {endpoint} as {hand}"
    if reply.status_code >= 500 and reply.status_code != 503:
        return f"crash: {asked}: {street.said}"
    amiss = _amiss(reply, app, hand, str(reply.request.path), method) if not lies else ""
    if reply.status_code == 401 or (reply.location or "").startswith("/sign-in"):
        street.browsers.pop(hand)
    return (
        f"false: {asked}: {amiss}"
        if amiss
        else f"{method if method in ('GET', 'POST') else 'other'} {reply.status_code}"
    )


def _place(street: Street, app: Flask, chance: random.Random) -> tuple[str, str, str]:
    """A page with its method and an address of it: one that links lead to, or a made-up one."""
    rule = chance.choice([*rules(app)])
    methods = sorted((rule.methods or set()) & {"GET", "POST"})
    method = chance.choice(methods) if chance.random() < 0.9 else chance.choice(METHODS)
    path = chance.choice(street.found)[1] if chance.random() < 0.3 else _address(rule, chance)
    if chance.random() < 0.1:
        path += quote(chance.choice(PATHS), safe="/%?=;\\")
    if chance.random() < 0.3:
        path += ("&" if "?" in path else "?") + "&".join(
            f"{quote(name)}={quote(value.encode())}" for name, value in _form(street, chance).items()
        )
    return rule.endpoint, method, "/" + path.lstrip("/")  # with two of them the client takes a host out of it


def _address(rule: Rule, chance: random.Random) -> str:
    values: dict[str, Any] = {}
    for name in rule.arguments:
        number = type(rule._converters[name]).__name__ == "Id"
        values[name] = chance.choice((1, 1, 2, 3, 5, 999_999_999)) if number else chance.choice(_WORDS)
    built = rule.build(values)
    return str(built[1]) if built else "/"


_WORDS = ("e1", "training", "csv", "coil-low-fill-wall", "job-bath-morning", "no-such", "formula", "I", "coil", "1", MARK,
          "question", "drill", "general-1", "fluorescent-bench-1", "..", "x" * 300, "\u202e", "=1+1", "xlsx", "SNT-2020")  # fmt: skip


def _form(street: Street, chance: random.Random) -> dict[str, str]:
    """Fields of the house's own forms with a value of their own, of another field, or made up."""
    names = chance.sample(list(street.forms), chance.choice((1, 3, 8, 30)))
    values = list(street.forms.values())
    made = {"next": chance.choice(NEXT)} if chance.random() < 0.1 else {}
    for name in names:
        how = chance.randrange(5)
        made[name] = (
            street.forms[name] if how < 2 else chance.choice(values) if how == 2
            else chance.choice((text(chance), MARK, "1", "-1", "2026-11-25", "9" * 40, "x" * 5000, "a\r\nSet-Cookie: x=1"))
        )  # fmt: skip
    return made


def _body(street: Street, token: str, method: str, chance: random.Random) -> dict[str, Any]:
    if method not in ("POST", "PUT", "PATCH", "DELETE"):
        return {}
    form: dict[str, Any] = {
        **_form(street, chance),
        "csrf_token": token if chance.random() < 0.9 else text(chance),
    }
    how = chance.random()
    if how < 0.7:
        return {"data": form}
    if how < 0.85:
        name = chance.choice(("file", "file", "files", "roster", "answer"))
        data = chance.choice(FILES)
        data = bytes_spoilt(data, chance) if len(data) < 10_000 and chance.random() < 0.5 else data
        form[name] = (
            io.BytesIO(data),
            chance.choice(("a.pdf", "../../a.csv", "a.xlsx", "a.yaml", "", "x" * 400, f"{MARK}.csv")),
        )
        return {"data": form}
    raw = text(chance).encode("utf-8", "surrogatepass") * chance.choice((1, 1, 50, 5000))
    return {"data": raw, "content_type": chance.choice(TYPES)}


def _few(chance: random.Random) -> int:
    return chance.choice((0, 0, 0, 1, 2))


def _amiss(reply: TestResponse, app: Flask, hand: str, path: str, method: str) -> str:
    """What is wrong with a reply; nothing for a good one."""
    if (
        "Content-Security-Policy" not in reply.headers
        or reply.headers.get("X-Content-Type-Options") != "nosniff"
    ):
        return f"{reply.status_code} without its headers"
    there = urlsplit(reply.location or "")
    if there.netloc not in ("", "localhost") or (reply.location or "/")[0] not in "/h":
        return f"leads to {reply.location}"
    if any(name.lower() == "set-cookie" and value.startswith("x=") for name, value in reply.headers):
        return "a header was made of text"
    if _opened(reply, app, hand, path, method):
        return f"{reply.status_code}, a closed page"
    if reply.mimetype == "text/html" and MARK.encode() in _unpacked(reply):
        return "text of a request stands unescaped in it"
    return ""


def _unpacked(reply: TestResponse) -> bytes:
    data = reply.get_data()
    return gzip.decompress(data) if reply.headers.get("Content-Encoding") == "gzip" else data


def _opened(reply: TestResponse, app: Flask, hand: str, path: str, method: str) -> bool:
    """Whether a page came that the guard of its blueprint keeps from this hand."""
    if (
        method not in ("GET", "POST")
        or reply.status_code not in (200, 303)
        or "/sign-in" in (reply.location or "")
    ):
        return False
    if hand not in (*ROLES, NOBODY):
        return False
    try:
        endpoint, _ = app.url_map.bind("localhost").match(path, method)
    except Exception:  # whatever it is, it is no page with a guard
        return False
    allowed = GUARDED.get(str(endpoint).split(".")[0])
    return allowed is not None and hand not in allowed
