"""Ways to spoil bytes and plain data, and text of the kind that programs choke on."""

from __future__ import annotations

import random
from collections.abc import MutableMapping
from copy import deepcopy
from typing import Any

PIECES = (
    "1", "0", "4.95", "1,8", "1e9", "9" * 40, "kA", "A", "in", "mm", '"', "1/2", "3 1/2", "-", "−", "+", "*",
    "/", "^", "**", "(", ")", "e", "E", ".", ",", " ", "\t", "%", "pi", "π", "sqrt", "__import__('os')", "\0", "µ",
    "²", "\u202e", "∞", "nan", "inf", "½", "{}", "{{7*7}}", "<b>", "'", ";", "--", "Ⅻ", "١٢", "０", "ft", "h", "min",
)  # fmt: skip
STRANGE: tuple[Any, ...] = (
    None, True, False, 0, 1, -1, 7, 2**31, 2**53, 2**63, -(2**63), 10**40, 0.5, -0.0, 1e308, 5e-324, "", " ", "0",
    "nan", "1e999", "true", "null", "2026-02-30", "2026-11-25", "9999-12-31", "0001-01-01", "2026-03-02T09:15:00Z",
    "x" * 5000, "é" * 300, "\u0000", "\ud800", "\u202e", "a\nb", "=1+1", "%s%n", "{0}", "../../etc/passwd",
    "a**b**c**9", "((((((a))))))", "y = y", "1/0", [], {}, [[]], [None], {"": None}, ["x"] * 400, {"x": {"x": {"x": []}}},
)  # fmt: skip


def text(chance: random.Random) -> str:
    """Some pieces, now and then any characters at all."""
    if chance.random() < 0.1:
        return "".join(chr(chance.randrange(1, 0xD800)) for _ in range(chance.randrange(40)))
    return "".join(chance.choice(PIECES) for _ in range(chance.randrange(1, 9)))


def bytes_spoilt(whole: bytes, chance: random.Random) -> bytes:
    """Turn bits over, leave something out, put something in twice, cut the end off: once or a few times."""
    data = bytearray(whole)
    for _ in range(chance.choice((1, 1, 1, 2, 5))):
        place, length = chance.randrange(len(data) or 1), chance.randrange(1, 30)
        how = chance.randrange(5)
        if how == 0 and data:
            data[place] ^= 1 << chance.randrange(8)
        elif how == 1:
            del data[place : place + length]
        elif how == 2:
            data[place:place] = data[place : place + length]
        elif how == 3:
            data[place:place] = text(chance).encode("utf-8", "surrogatepass")
        elif chance.random() < 0.2:
            del data[place:]
    return bytes(data)


def data_spoilt(data: Any, chance: random.Random) -> Any:
    """Change plain data in place at one random spot; give it back (another thing where the whole was put away)."""
    holders = list(_holders(data))
    if not holders or chance.random() < 0.01:
        return strange(chance)
    holder = chance.choice(holders)
    names = list(holder) if isinstance(holder, dict) else list(range(len(holder)))
    how = chance.randrange(7)
    if not names or how == 0:
        _put(holder, chance.choice((*names, "x", "id", "type")), strange(chance))
        return data
    name = chance.choice(names)
    if how == 1:
        del holder[name]
    elif how == 2:
        holder[name] = chance.choice(([holder[name]], {"x": holder[name]}, str(holder[name])))
    elif how == 3:
        other = chance.choice(holders)
        _put(holder, name, _taken(other, chance))
    elif how == 4 and isinstance(holder, dict):
        holder[chance.choice((f"{name} ", str(name).upper(), text(chance)))] = holder.pop(name)
    elif how == 5 and isinstance(holder[name], str):
        holder[name] = bytes_spoilt(holder[name].encode("utf-8", "replace"), chance).decode(
            "utf-8", "replace"
        )
    elif how == 6 and isinstance(holder[name], int | float):
        holder[name] = chance.choice((-holder[name], holder[name] * 1e9, holder[name] + 1, str(holder[name])))
    else:
        holder[name] = strange(chance)
    return data


def strange(chance: random.Random) -> Any:
    """A value that stands nowhere."""
    return deepcopy(chance.choice(STRANGE))  # it is changed further, and comes again whole


def _holders(data: Any) -> Any:
    if isinstance(data, dict | list):
        yield data
        for inner in list(data.values()) if isinstance(data, dict) else data:
            yield from _holders(inner)


def _put(holder: Any, name: Any, value: Any) -> None:
    if isinstance(holder, MutableMapping):
        holder[name] = value
    else:
        holder.insert(name if isinstance(name, int) else len(holder), value)


def _taken(other: Any, chance: random.Random) -> Any:
    """A plain value from elsewhere in the same data: never one that holds its new holder."""
    plain = [
        one
        for one in (other.values() if isinstance(other, dict) else other)
        if not isinstance(one, dict | list)
    ]
    return chance.choice(plain) if plain else strange(chance)
