"""Read YAML as plain data that remembers where each value stood.

YAML 1.2 core scalars only: ``true`` and ``false`` are the only booleans, days stay text, ``1:30`` is
text. Doubled keys, anchors, aliases and tags are faults, since each of them hides what a file says.
Size and depth are bounded, so that a hostile file costs milliseconds.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

import yaml

from trainer.errors import Fault, FaultyFiles

Place = tuple[str | int, ...]
LARGEST = 1_000_000
DEEPEST = 30
MOST_FAULTS = 50

_INTEGER = re.compile(r"[-+]?(0|[1-9][0-9]*)$")
_FLOAT = re.compile(r"[-+]?(\.[0-9]+|[0-9]+(\.[0-9]*)?)([eE][-+]?[0-9]{1,3})?$")
_WORDS: dict[str, Any] = {"true": True, "false": False, "null": None, "~": None, "": None}
# What cannot stand in YAML 1.2 (5.1, c-printable). Looked for here, since the parsers tell its place in bytes or in
# signs, each as it reads.
_UNPRINTABLE = re.compile(r"[^\t\n\r -~\x85\xA0-\uD7FF\uE000-\uFFFD\U00010000-\U0010FFFF]")
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(frozen=True, slots=True)
class Located:
    """Plain data (dict, list, str, int, float, bool, None) with the line and column of each value."""

    name: str
    data: Any
    marks: Mapping[Place, tuple[int, int]] = field(repr=False)

    def mark(self, place: Place) -> tuple[int, int]:
        """Return the place's line and column, or those of the nearest thing around it that has one."""
        while place and place not in self.marks:
            place = place[:-1]
        return self.marks.get(place, (1, 1))

    def fault(self, place: Place, says: str) -> Fault:
        """Make a fault that points at a place of this file."""
        line, column = self.mark(place)
        return Fault(self.name, line, column, says)


def unprintable(text: str) -> tuple[int, int, str] | None:
    """Return line, column and code (as U+000C) of the first sign that is no text in YAML, or None."""
    found = _UNPRINTABLE.search(text)
    if found is None:
        return None
    before = text[: found.start()]
    return before.count("\n") + 1, len(before) - before.rfind("\n"), f"U+{ord(found[0]):04X}"


def read_yaml(text: str | bytes, name: str, largest: int = LARGEST) -> Located:
    """Read one YAML document; raise FaultyFiles with every fault that stands in the way."""
    plain = _decoded(text, name, largest)
    if (found := unprintable(plain)) is not None:
        line, column, sign = found
        raise FaultyFiles(
            (Fault(name, line, column, f"this is not YAML (the sign {sign} is no text): take it out"),)
        )
    node = _compose(plain, name)
    reader = _Reader(name)
    reader.anchors(plain)
    data = reader.value(node, (), 0) if node is not None else None
    if reader.faults:
        raise FaultyFiles(tuple(reader.faults))
    return Located(name, data, reader.marks)


def _decoded(text: str | bytes, name: str, largest: int) -> str:
    if len(text) > largest:
        raise FaultyFiles((Fault(name, 1, 1, f"the file is larger than {largest} bytes; split it"),))
    if isinstance(text, str):
        return text
    try:
        return text.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = text[: error.start].count(b"\n") + 1
        fault = Fault(name, line, 1, "the file is not UTF-8 text; save it as UTF-8")
        raise FaultyFiles((fault,)) from None


def _compose(text: str, name: str) -> yaml.Node | None:
    if _too_deep(text):
        raise FaultyFiles(
            (Fault(name, 1, 1, f"brackets are nested deeper than {DEEPEST}; write it flatter"),)
        )
    loader = _LOADER(text)
    try:
        return loader.get_single_node()  # type: ignore[no-any-return]
    except yaml.YAMLError as error:
        raise FaultyFiles((_syntax_fault(error, name),)) from None
    except (RecursionError, ValueError) as error:
        raise FaultyFiles((Fault(name, 1, 1, f"the file cannot be read as YAML: {error}"),)) from None
    finally:
        loader.dispose()


def _too_deep(text: str) -> bool:
    """Tell whether flow brackets pile up; counted before parsing, since a parser may recurse on them."""
    depth = 0
    for found in re.finditer(r"[\[{\]}]", text):
        depth = depth + 1 if found.group() in "[{" else max(0, depth - 1)
        if depth > DEEPEST * 4:
            return True
    return False


_INSTEAD = {
    "cannot start any token": "write lines with spaces, not with tabs, and put text that begins with @ or ` in quotes",
    "mapping values are not allowed": "put text that holds a colon and a space in quotes",
    "could not find expected ':'": "write a colon and a space after the key, here or in the line above",
    "another document": "take the line --- out; one file holds one document",
}


def _syntax_fault(error: yaml.YAMLError, name: str) -> Fault:
    mark = getattr(error, "problem_mark", None)
    problem = getattr(error, "problem", None) or str(error)
    line, column = (mark.line + 1, mark.column + 1) if mark is not None else (1, 1)
    instead = next((says for part, says in _INSTEAD.items() if part in problem), "")
    says = instead or "check indentation, colons, quotes and brackets here and in the line above"
    return Fault(name, line, column, f"this is not YAML ({problem}): {says}")


class _Reader:
    """Turn nodes into plain data, keeping marks and gathering faults."""

    def __init__(self, name: str) -> None:
        self.name = name
        self.faults: list[Fault] = []
        self.marks: dict[Place, tuple[int, int]] = {}
        self.seen: set[int] = set()

    def value(self, node: yaml.Node, place: Place, depth: int) -> Any:
        self.marks[place] = (node.start_mark.line + 1, node.start_mark.column + 1)
        if depth > DEEPEST:
            self.say(node, f"nested deeper than {DEEPEST}; write it flatter")
            return None
        if id(node) in self.seen:
            self.say(node, "anchors and aliases are not taken; write the value out")
            return None
        self.seen.add(id(node))
        if isinstance(node, yaml.MappingNode):
            return self.mapping(node, place, depth)
        if isinstance(node, yaml.SequenceNode):
            return [self.value(item, (*place, i), depth + 1) for i, item in enumerate(node.value)]
        return self.scalar(node)

    def anchors(self, text: str) -> None:
        """Find anchors that no alias uses; composed nodes no longer show them."""
        for token in yaml.scan(text, Loader=_LOADER) if "&" in text else ():
            if isinstance(token, yaml.AnchorToken):
                self.say(token, f"anchors such as &{token.value} are not taken; remove it")

    def mapping(self, node: yaml.MappingNode, place: Place, depth: int) -> dict[str, Any]:
        out: dict[str, Any] = {}
        for key_node, value_node in node.value:
            key = key_node.value
            if not isinstance(key_node, yaml.ScalarNode):
                self.say(key_node, "a key must be one word or text")
            elif key == "<<" and not key_node.style:
                self.say(key_node, "merge keys are not taken; write the values out")
            elif key in out:
                self.say(key_node, f"the key '{key}' stands twice; keep one")
            else:
                out[key] = self.value(value_node, (*place, key), depth + 1)
        return out

    def scalar(self, node: yaml.Node) -> Any:
        text: str = node.value
        if not node.tag.startswith("tag:yaml.org,2002:"):
            self.say(node, f"tags such as {node.tag} are not taken; remove it")
            return None
        if getattr(node, "style", None):
            return text
        if text in _WORDS:
            return _WORDS[text]
        if _INTEGER.match(text) and len(text) < 20:
            return int(text)
        if _FLOAT.match(text) and len(text) < 40:
            return float(text)
        return text

    def say(self, node: yaml.Node | yaml.Token, says: str) -> None:
        if len(self.faults) < MOST_FAULTS:
            self.faults.append(Fault(self.name, node.start_mark.line + 1, node.start_mark.column + 1, says))


def places(data: Any, place: Place = ()) -> Iterator[tuple[Place, Any]]:
    """Walk every value of plain data with its place."""
    yield place, data
    if isinstance(data, dict):
        for key, value in data.items():
            yield from places(value, (*place, key))
    elif isinstance(data, list):
        for index, value in enumerate(data):
            yield from places(value, (*place, index))
