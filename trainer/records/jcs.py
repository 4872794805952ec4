"""Canonical JSON (RFC 8785) and a strict reader of JSON for signed files.

The reader refuses what two programs could read differently (double members, NaN, numbers that lose digits,
lone surrogates, text that is not UTF-8) and bounds size and depth, so that a hostile file costs little.
"""

from __future__ import annotations

import json
import math
import re
from hashlib import sha256
from typing import Any

import rfc8785

from trainer.errors import Unreadable
from trainer.languages import N_, _

MAX_BYTES = 2_000_000
MAX_DEPTH = 60
MAX_SAFE_INTEGER = 2**53 - 1

Json = Any
"""A value as JSON knows it: dict with text keys, list, text, number, bool or None."""

_TOO_DEEP = N_("The file is nested more than %(most)s deep; no record is.")
_SURROGATE = re.compile("[\ud800-\udfff]")


def parse(data: bytes) -> Json:
    """Read one JSON value strictly; raise Unreadable with a sentence if two readers could differ on it."""
    if len(data) > MAX_BYTES:
        raise Unreadable(
            _(
                "The file is larger than %(most)s MB; a record is never that long.",
                most=MAX_BYTES // 1_000_000,
            )
        )
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        raise Unreadable(
            _(
                "The file is not UTF-8 text; take the record as it was exported, not a copy out of "
                "another program."
            )
        ) from None
    try:
        value = json.loads(
            text,
            object_pairs_hook=_members,
            parse_constant=_refuse_constant,
            parse_float=_finite,
            parse_int=_safe_integer,
        )
    except Unreadable:
        raise
    except RecursionError:
        raise Unreadable(_(_TOO_DEEP, most=MAX_DEPTH)) from None
    except ValueError:
        raise Unreadable(
            _("The file is not complete JSON; it may be cut off or of another kind. Ask for a fresh copy.")
        ) from None
    _check_within(value, MAX_DEPTH)
    return value


def canonical(value: Json) -> bytes:
    """Write the value in the one form that is hashed and signed (RFC 8785).

    Raises Unreadable for what has no such form (NaN, integers beyond 2**53 - 1, lone surrogates).
    """
    try:
        return rfc8785.dumps(value)
    except (rfc8785.CanonicalizationError, UnicodeEncodeError, RecursionError) as fault:
        raise Unreadable(
            _(
                "The contents cannot be written as canonical JSON: a number or a character in it is "
                "not allowed."
            )
        ) from fault


def digest(value: Json) -> bytes:
    """SHA-256 of the canonical form, 32 bytes."""
    return sha256(canonical(value)).digest()


def written(value: Json) -> bytes:
    """Write the value for a file that people may open: indented UTF-8 with a final line feed."""
    return (json.dumps(value, ensure_ascii=False, indent=2) + "\n").encode("utf-8")


def _members(pairs: list[tuple[str, Json]]) -> dict[str, Json]:
    members: dict[str, Json] = {}
    for name, value in pairs:
        if name in members:
            raise Unreadable(
                _(
                    "The member %(name)s stands twice in one place, so the file can be read in two ways. "
                    "Ask the issuer for a fresh copy.",
                    name=repr(name[:60]),
                )
            )
        members[name] = value
    return members


def _refuse_constant(name: str) -> Json:
    raise Unreadable(_("%(name)s is not a number that a record may hold.", name=name))


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise Unreadable(_("A number in the file is too large to be read exactly."))
    return number


def _safe_integer(text: str) -> int:
    number = int(text) if len(text) <= 17 else MAX_SAFE_INTEGER + 1
    if abs(number) > MAX_SAFE_INTEGER:
        raise Unreadable(_("A whole number in the file has too many digits to be read alike everywhere."))
    return number


def _check_within(value: Json, levels: int) -> None:
    """Refuse what is nested more than ``levels`` deep, and lone surrogates in any text."""
    if isinstance(value, str):
        if _SURROGATE.search(value):
            raise Unreadable(_("A text in the file holds half a character (a lone surrogate)."))
        return
    if not isinstance(value, dict | list):
        return
    if levels == 0:
        raise Unreadable(_(_TOO_DEEP, most=MAX_DEPTH))
    members = [*value, *value.values()] if isinstance(value, dict) else value
    for member in members:
        _check_within(member, levels - 1)
