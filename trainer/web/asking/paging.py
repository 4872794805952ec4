"""The page of a list that an address asks for: ``?page=2&words=…``, kept apart by name where a page has two lists."""

from __future__ import annotations

from dataclasses import replace

from flask import request

from trainer.services.keeping import paging
from trainer.services.keeping.paging import ROWS, Wish

MOST_KEPT, MOST_LONG = 12, 80  # what else of an address is kept in the links to other pages


def asked(name: str = "", *, whole: bool = False, rows: int = ROWS) -> Wish:
    """What the reader asks of the list with this name; ``whole``: it may be had on one sheet."""
    own = {f"{name}page", f"{name}words"}
    rest = [(key, value[:MOST_LONG]) for key, value in request.args.items() if key not in own and value]
    text, words = (request.args.get(f"{name}{key}", "")[:200] for key in ("page", "words"))
    wish = paging.wished(text, words, name, rest[:MOST_KEPT])
    return replace(wish, rows=rows, number=wish.number or (None if whole else 1))
