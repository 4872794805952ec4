"""Read content files into frozen records; every fault of a file comes back at once with its place."""

from __future__ import annotations

import json
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from trainer.bank.drill import FORMS
from trainer.bank.readings import reading
from trainer.bank.yamltext import Located, Place
from trainer.errors import Fault, FaultyFiles

Model = TypeVar("Model", bound=BaseModel)

# pydantic's kinds of error, in our words; {..} are the parts pydantic gives.
_SAYS = {
    "missing": "the key '{key}' is missing; add it",
    "extra_forbidden": "the key '{key}' is not known here; {instead}",
    "string_type": "text is wanted here; put it in quotes if it looks like a number",
    "int_type": "a whole number is wanted here",
    "float_type": "a number is wanted here",
    "finite_number": "this number is beyond counting",
    "bool_type": "true or false is wanted here",
    "tuple_type": "a list is wanted here; write [a, b] or one item a line with a dash",
    "dict_type": "keys and values are wanted here",
    "model_type": "keys and values are wanted here",
    "model_attributes_type": "keys and values are wanted here",
    "literal_error": "write one of {expected}",
    "string_pattern_mismatch": "'{input}' cannot be used as a name here; use {instead}",
    "string_too_short": "this must not be empty",
    "string_too_long": "this is longer than {max_length} characters; shorten it",
    "too_short": "at least {min_length} wanted here, {actual_length} found",
    "too_long": "at most {max_length} wanted here",
    "greater_than": "this must be above {gt}",
    "less_than_equal": "this must be at most {le}",
    "greater_than_equal": "this must be at least {ge}",
    "value_error": "{error}",
}


def read_model(model: type[Model], located: Located) -> Model:
    """Check plain data against a model; raise FaultyFiles with every fault and its line."""
    try:
        return model.model_validate(as_tuples(located.data))
    except ValidationError as error:
        keys = _keys_of(model)
        faults = tuple(dict.fromkeys(_fault(located, item, keys) for item in _told(error)))
        raise FaultyFiles(faults) from None


def read_file(model: type[Model], path: Path, name: str) -> tuple[Model, Located]:
    """Read one file; return the record and its places."""
    try:
        text = path.read_bytes()
    except OSError as error:
        raise FaultyFiles((Fault(name, 1, 1, f"the file cannot be opened: {error.strerror}"),)) from None
    located = reading(path, text, name)
    return read_model(model, located), located


def edition_of(data: Any) -> str:
    """Return the edition: the first 16 hex digits of SHA-256 over the content, whatever its layout."""
    text = json.dumps(data, sort_keys=True, ensure_ascii=False, separators=(",", ":"))
    return sha256(text.encode()).hexdigest()[:16]


def as_tuples(data: Any) -> Any:
    """Turn lists into tuples, since strict frozen records hold tuples."""
    if isinstance(data, dict):
        return {key: as_tuples(value) for key, value in data.items()}
    if isinstance(data, list):
        return tuple(as_tuples(value) for value in data)
    return data


def _told(error: ValidationError) -> list[Any]:
    """Leave out that a list is too short where that is only because an item of it is faulty, and half of the advice
    on a number that may be whole or not."""
    items = error.errors(include_url=False)
    inside = {item["loc"][:end] for item in items for end in range(len(item["loc"]))}
    places = {item["loc"] for item in items}
    return [
        item
        for item in items
        if (item["type"] != "too_short" or item["loc"] not in inside)
        and (item["loc"][-1:] != ("int",) or (*item["loc"][:-1], "float") not in places)
    ]


def _keys_of(model: type[BaseModel]) -> tuple[str, ...]:
    """Every key that a file of this kind may hold at some place."""
    schema = model.model_json_schema()
    parts = (schema, *schema.get("$defs", {}).values())
    return tuple(dict.fromkeys(key for part in parts for key in part.get("properties", {})))


def _instead_of(key: str, keys: tuple[str, ...]) -> str:
    """What to write in place of a key that is not known."""
    if key[:1].isdigit():
        return "a comma ends a value: write a point for decimals, 0.5, and no mark for thousands, 45000"
    near = get_close_matches(key, keys, 1)
    return f"did you mean '{near[0]}'?" if near else "check the spelling or remove it"


def _fault(located: Located, item: Any, keys: tuple[str, ...]) -> Fault:
    place: Place = tuple(p for p in item["loc"] if p not in {"[key]"} and not _union_tag(p))
    parts = {"key": place[-1] if place else "", "input": str(item.get("input"))[:40], **item.get("ctx", {})}
    if item["type"] == "extra_forbidden":
        parts["instead"] = _instead_of(str(parts["key"]), keys)
    elif item["type"] == "string_pattern_mismatch":
        parts["instead"] = FORMS[parts["pattern"]]
    says = _SAYS.get(item["type"], item["msg"][:1].lower() + item["msg"][1:])
    return located.fault(place, says.format_map(_Parts(parts)))


def _union_tag(part: str | int) -> bool:
    return part in {"int", "float", "str", "bool"}


class _Parts(dict[str, Any]):
    def __missing__(self, key: str) -> str:
        return "?"
