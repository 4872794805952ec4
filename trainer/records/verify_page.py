"""One self-contained HTML file that verifies records by double click, with no network, from a USB stick.

The pinned issuers are written into it. Its content policy allows nothing but its own style and script, by their
hashes. Ed25519 comes from the browser or, where it has none, from the vendored @noble/ed25519 3 (MIT licence,
kept in the file).
"""

from __future__ import annotations

import base64
import json
import re
from collections.abc import Sequence
from hashlib import sha256
from importlib.resources import files

from trainer.records.issuers import Issuer

MAX_PAGE_BYTES = 100_000


def verify_page(issuers: Sequence[Issuer]) -> bytes:
    """The page that trusts exactly these issuers, as one HTML file. The same issuers give the same bytes."""
    style, script = _text("verify_page.css"), _script()
    parts = {
        "STYLE_HASH": _hash(style),
        "SCRIPT_HASH": _hash(script),
        "STYLE": style,
        "ISSUERS": _pinned(issuers),
        "SCRIPT": script,
    }
    page = re.sub(r"%([A-Z_]+)%", lambda place: parts[place[1]], _text("verify_page.html"))
    return page.encode("utf-8")


def _script() -> str:
    noble = _text("vendor/noble-ed25519.js")
    licence = _text("vendor/noble-ed25519.LICENSE.txt").strip().replace("https://", "")
    return (
        '"use strict";\n'
        f"/*! @noble/ed25519\n{licence}\n*/\n"
        f"const nobleEd25519 = (() => {{\n{noble}return {{ verifyAsync }};\n}})();\n"
        f"{_text('verify_page.js')}{_text('verify_page_form.js')}"
    )


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
    return json.dumps(shown).replace("<", "\\u003c")


def _text(name: str) -> str:
    return files("trainer.records").joinpath(name).read_text(encoding="utf-8")


def _hash(text: str) -> str:
    return base64.b64encode(sha256(text.encode("utf-8")).digest()).decode("ascii")
