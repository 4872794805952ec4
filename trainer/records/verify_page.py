"""One self-contained HTML file that verifies records by double click, with no network, from a USB stick.

The pinned issuers are written into it. Its content policy allows nothing but its own style and script, by their
hashes. It speaks every language of the house, from the catalogues of the pages. Ed25519 comes from the browser or,
where it has none, from the vendored @noble/ed25519 3 (MIT licence, kept in the file).
"""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Sequence
from hashlib import sha256
from importlib.resources import files
from pathlib import Path

from trainer.languages import LANGUAGES, N_, WRITTEN_IN, _, elsewhere, reading_in
from trainer.records.issuers import Issuer

MAX_PAGE_BYTES = 100_000
FORM = "verify_page.html"
SCRIPTS = ("verify_page_words.js", "verify_page.js", "verify_page_form.js")
NO_SCRIPT = N_(
    "This page needs JavaScript to check signatures. Allow it for this file, or use the command trainer verify."
)


def verify_page(issuers: Sequence[Issuer]) -> bytes:
    """The page that trusts exactly these issuers, as one HTML file. The same issuers give the same bytes."""
    style, script = _text("verify_page.css"), _script()
    parts = {
        "STYLE_HASH": _hash(style),
        "SCRIPT_HASH": _hash(script),
        "STYLE": style,
        "ISSUERS": _pinned(issuers),
        "NO_SCRIPT": _without_script(),
        "SCRIPT": script,
    }
    page = re.sub(r"\{\{ ([A-Z_]+) \}\}", lambda place: parts[place[1]], _text(FORM))
    return page.encode("utf-8")


def _script() -> str:
    noble = _text("vendor/noble-ed25519.js")
    licence = _text("vendor/noble-ed25519.LICENSE.txt").strip().replace("https://", "")
    return (
        '"use strict";\n'
        f"/*! @noble/ed25519\n{licence}\n*/\n"
        f"const nobleEd25519 = (() => {{\n{noble}return {{ verifyAsync }};\n}})();\n"
        f"const LANGUAGES = {_json(LANGUAGES)};\nconst WORDS = {_json(_words())};\n"
        f"{''.join(map(_text, SCRIPTS))}"
    )


def texts() -> set[str]:
    """Everything the page can say, in English."""
    return set().union(*(elsewhere.texts(Path(name).suffix, _text(name)) for name in (FORM, *SCRIPTS)))


def _words() -> dict[str, dict[str, str]]:
    found = {}
    for tag in LANGUAGES:
        if tag != WRITTEN_IN:
            with reading_in(tag):
                found[tag] = elsewhere.words(texts())
    return found


def _without_script() -> str:
    said = []
    for tag in LANGUAGES:
        with reading_in(tag):
            said.append(f'<p class="caution" lang="{tag}">{_(NO_SCRIPT)}</p>')
    return "".join(said)


def _pinned(issuers: Sequence[Issuer]) -> str:
    shown = [
        {
            "did": one.did,
            "name": one.name,
            "valid_from": one.valid_from.isoformat() if one.valid_from else None,
            "valid_to": one.valid_to.isoformat() if one.valid_to else None,
            "introduced_by": one.introduced_by,
            "beside_only": one.beside_only,
        }
        for one in issuers
    ]
    return _json(shown)


def _json(shown: object) -> str:
    return json.dumps(shown, ensure_ascii=False).replace("<", "\\u003c")


def _text(name: str) -> str:
    return files("trainer.records").joinpath(name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return base64.b64encode(sha256(text.encode("utf-8")).digest()).decode("ascii")
