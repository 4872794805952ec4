"""How pages and files go over the wire: under addresses that a browser may keep, and packed where it can unpack.

A slow classroom network carries each file once. Another site cannot have our pages asked for in a visitor's
name and weigh the answers (BREACH), since the cookies are SameSite.
"""

from __future__ import annotations

import gzip
from functools import lru_cache
from hashlib import sha256
from pathlib import Path

from flask import Flask, Response, request
from werkzeug.datastructures import Accept
from werkzeug.http import parse_accept_header

FOLDER = Path(__file__).resolve().parent / "static"
YEAR_SECONDS = 365 * 24 * 3600
LEAST_BYTES = 1000  # less goes into one packet of the network anyway
LEVEL = 6
PACKED = frozenset(
    {"text/html", "text/css", "text/javascript", "text/plain", "text/csv", "text/calendar"}
    | {"application/json", "image/svg+xml"}
)
"""Kinds of content that packing makes smaller; fonts, PDF and spreadsheets are packed already."""


def stamped_address() -> str:
    """Where the files of the pages are: any change in one of them changes the address of all.

    So that what a style sheet names beside itself, the font, is stamped with it.
    """
    digest = sha256()
    for file in sorted(file for file in FOLDER.rglob("*") if file.is_file()):
        digest.update(file.relative_to(FOLDER).as_posix().encode() + sha256(file.read_bytes()).digest())
    return f"/static/{digest.hexdigest()[:12]}"


def install(app: Flask) -> None:
    """Let browsers keep the files under their stamped address, and pack what they can unpack."""
    app.config["SEND_FILE_MAX_AGE_DEFAULT"] = YEAR_SECONDS
    app.after_request(keep_or_not)
    app.after_request(pack)
    app.after_request(name_the_place)


def keep_or_not(response: Response) -> Response:
    """Files under a stamped address never change; pages are about people and are never kept."""
    if request.endpoint == "static" and response.status_code < 400:
        response.cache_control.immutable = True
    else:
        response.headers.setdefault("Cache-Control", "no-store")
    return response


def name_the_place(response: Response) -> Response:
    """Tell a script that sent an answer where its outcome stands, instead of sending the outcome for it to throw away.

    A script that is redirected fetches the page, and the browser that is then led there fetches it once more.
    """
    if response.status_code == 303 and "Idempotency-Key" in request.headers:
        response.status_code = 201
        response.set_data(b"")
    return response


def pack(response: Response) -> Response:
    """Pack the body of a text, for a browser that says it can unpack it."""
    if (
        response.mimetype not in PACKED
        or response.status_code == 206
        or response.headers.get("Content-Encoding")
        or (response.calculate_content_length() or LEAST_BYTES) < LEAST_BYTES
    ):
        return response
    response.vary.add("Accept-Encoding")
    if not _unpacks(request.headers.get("Accept-Encoding")):
        return response
    response.direct_passthrough = False
    body = response.get_data()
    response.set_data(gzip.compress(body, LEVEL, mtime=0))
    response.headers["Content-Encoding"] = "gzip"
    tag, _ = response.get_etag()
    if tag:
        response.set_etag(tag, weak=True)  # the same content, but not the same bytes
    return response


@lru_cache(maxsize=256)
def _unpacks(accepted: str | None) -> bool:
    return parse_accept_header(accepted, Accept).quality("gzip") > 0
