"""Content in another language: the same records with every text that is prose looked up."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass, replace
from functools import cache
from types import UnionType
from typing import Annotated, Any, TypeVar, Union, get_args, get_origin

from pydantic import BaseModel

from trainer.bank.bank import Bank
from trainer.bank.drill import SIGN, Prose, Quantity
from trainer.bank.technique import Derived, PartQuantity

Say = Callable[[str], str]
Record = TypeVar("Record", bound=BaseModel)
Read = TypeVar("Read")

# What of a bank is content to be read; the rest is names, editions and places of files.
_CONTENT = ("cautions", "terms", "drills", "jobs", "questions", "papers", "practicals", "techniques", "power")
# The field of an entry that holds its content as it is read. What a file of its own holds (``own``) stays as
# written, since it is joined with what others wrote.
_BODIES = ("record", "power")


def spoken(record: Record, say: Say) -> Record:
    """Return the record with all its prose put through ``say``; ids, symbols, formulas and sources stay."""
    changed = {}
    for name, kind in _kinds(type(record)).items():
        old = getattr(record, name)
        new = _put(old, kind, say)
        if new is not old:
            changed[name] = new
    return record.model_copy(update=changed) if changed else record


def entry_spoken(entry: Read, say: Say) -> Read:
    """Return an entry of the bank with its content spoken; its edition and its plain content stay."""
    body = {one.name for one in fields(entry)} & set(_BODIES)  # type: ignore[arg-type]
    return replace(entry, **{name: spoken(getattr(entry, name), say) for name in body})  # type: ignore[type-var]


def bank_spoken(bank: Bank, say: Say) -> Bank:
    """Return the bank in another language."""
    return replace(bank, **{name: _entries(getattr(bank, name), say) for name in _CONTENT})


def texts_of(record: BaseModel) -> Iterator[str]:
    """Yield every text of a record that is prose, in the order of its fields."""
    found: list[str] = []

    def keep(text: str) -> str:
        found.append(text)
        return text

    spoken(record, keep)
    yield from found


def _entries(held: Any, say: Say) -> Any:
    if isinstance(held, dict):
        return {key: _entries(value, say) for key, value in held.items()}
    if isinstance(held, tuple):
        return tuple(_entries(value, say) for value in held)
    if isinstance(held, BaseModel):
        return spoken(held, say)
    return entry_spoken(held, say) if is_dataclass(held) else held


@cache
def _kinds(model: type[BaseModel]) -> dict[str, Any]:
    """The fields of a record in which prose may stand, each with its type."""
    out = {}
    for name, field in model.model_fields.items():
        kind = Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation
        if _may_speak(kind):
            out[name] = kind
    return out


def _may_speak(kind: Any) -> bool:
    if isinstance(kind, type) and issubclass(kind, BaseModel):
        return bool(_kinds(kind))
    return _prose(kind) is not None or any(_may_speak(part) for part in get_args(kind))


def _prose(kind: Any) -> Prose | None:
    return next((one for one in getattr(kind, "__metadata__", ()) if isinstance(one, Prose)), None)


def _put(value: Any, kind: Any, say: Say) -> Any:
    if value is None:
        return None
    if isinstance(value, BaseModel):
        return spoken(value, say)
    origin = get_origin(kind)
    if origin is Annotated and _prose(kind) is None:
        return _put(value, get_args(kind)[0], say)
    if origin in {Union, UnionType}:
        return _put(value, next(part for part in get_args(kind) if part is not type(None)), say)
    if isinstance(value, str):
        prose = _prose(kind)
        return value if prose is None else _said(value, prose, say)
    if isinstance(value, tuple):
        return tuple(_put(one, get_args(kind)[0], say) for one in value)
    if isinstance(value, dict):
        spoken_values = {key: _put(one, get_args(kind)[1], say) for key, one in value.items()}
        return {key: _signed(key, one, say) for key, one in spoken_values.items()}
    return value


def _signed(symbol: str, value: Any, say: Say) -> Any:
    """A quantity that is shown by its symbol, where the symbol is a word: it gets the word as its sign."""
    if not isinstance(value, (Quantity, PartQuantity, Derived)) or value.shown:
        return value
    said = _said(symbol, SIGN, say)
    return value if said == symbol else value.model_copy(update={"shown": said})


def _said(text: str, prose: Prose, say: Say) -> str:
    if not prose.said.fullmatch(text):
        return text
    said = say(prose.among + text)
    return text if said == prose.among + text else said
