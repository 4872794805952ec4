"""Written files as a tree that still knows its lines: YAML 1.2 or JSON, read with bounds.

Scalars stay the text that was written: ``209.5`` keeps its digits, a day stays a day, ``on`` stays a
word, and only a plain ``true`` or ``false`` can be read as a boolean. Anchors, aliases, tags and doubled
keys are faults. Faults are collected, not raised, so that a batch can name the case that holds them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any, NoReturn, TypeAlias

import yaml

from trainer.bank.yamltext import unprintable
from trainer.errors import Fault

MAX_BYTES = 1_000_000
MAX_DEPTH = 24
MAX_NODES = 120_000
MOST_FAULTS = 1_000

_LOADER = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_SURROGATES = re.compile(r"(?<!\\)((?:\\\\)*)\\u([dD][89abAB][0-9a-fA-F]{2})\\u([dD][c-fC-F][0-9a-fA-F]{2})")


@dataclass(slots=True)
class Leaf:
    """One scalar as written; ``plain`` when it stood without quotes. (Not frozen: that would cost a third of reading.)"""

    text: str
    plain: bool
    line: int
    column: int

    @property
    def empty(self) -> bool:
        """Say whether nothing was written (an empty place, ``null`` or ``~``)."""
        return self.plain and self.text in ("", "~", "null")


@dataclass(slots=True)
class Branch:
    """A mapping: keys in the order written, each with its value and the place of the key."""

    line: int
    column: int
    pairs: dict[str, Node] = field(default_factory=dict)
    places: dict[str, tuple[int, int]] = field(default_factory=dict)


@dataclass(slots=True)
class Listing:
    """A list of nodes in the order written."""

    line: int
    column: int
    nodes: list[Node] = field(default_factory=list)


Node: TypeAlias = Leaf | Branch | Listing
Plain: TypeAlias = "str | bool | list[Plain] | dict[str, Plain] | None"


@dataclass(frozen=True, slots=True)
class Written:
    """A file as read: its tree (none if it could not be read at all) and its faults by line."""

    name: str
    root: Node | None
    faults: tuple[Fault, ...]


class _Stop(Exception):
    """The file cannot be read any further."""


def read_written(source: str | bytes, name: str, max_bytes: int = MAX_BYTES) -> Written:
    """Read YAML or JSON text into a tree; never raises for what the text holds."""
    builder = _Builder(name, max_nodes=max(MAX_NODES, max_bytes // 8))
    try:
        builder.build(_text(builder, source, max_bytes))
    except _Stop:
        builder.root = None
    faults = sorted(builder.faults, key=lambda fault: (fault.line, fault.column))
    return Written(name, builder.root, tuple(faults))


def _text(builder: _Builder, source: str | bytes, max_bytes: int) -> str:
    size = len(source) if isinstance(source, bytes) else len(source.encode("utf-8", "replace"))
    if size > max_bytes:
        builder.stop(
            1, 1, f"the file has {size:,} bytes; write at most {max_bytes:,} and split it if need be"
        )
    text = source if isinstance(source, str) else _decoded(builder, source)
    text = text.removeprefix("\ufeff")
    if (found := unprintable(text)) is not None:
        line, column, sign = found
        builder.stop(line, column, f"this cannot be read as YAML (the sign {sign} is no text); take it out")
    return _json_as_yaml(text)


def _decoded(builder: _Builder, source: bytes) -> str:
    try:
        return source.decode("utf-8")
    except UnicodeDecodeError as error:
        line = source[: error.start].count(b"\n") + 1
        builder.stop(line, 1, "this is not UTF-8 text; save the file as UTF-8")


def _json_as_yaml(text: str) -> str:
    """Let JSON pass as YAML: tabs between its tokens become spaces, escaped pairs one character."""
    if not text.lstrip().startswith(("{", "[")):
        return text
    return _SURROGATES.sub(_joined_pair, text.replace("\t", " "))


def _joined_pair(match: re.Match[str]) -> str:
    high, low = int(match[2], 16), int(match[3], 16)
    return match[1] + chr(0x10000 + ((high - 0xD800) << 10) + (low - 0xDC00))


class _Builder:
    """Builds the tree from parser events on a stack of its own, so that depth cannot exhaust Python's."""

    def __init__(self, name: str, max_nodes: int) -> None:
        self.name = name
        self.faults: list[Fault] = []
        self.root: Node | None = None
        self._open: list[Branch | Listing] = []
        self._keys: list[Leaf | None] = []
        self._room = max_nodes

    def fault(self, line: int, column: int, says: str) -> None:
        if len(self.faults) < MOST_FAULTS:
            self.faults.append(Fault(self.name, line, column, says))

    def stop(self, line: int, column: int, says: str) -> NoReturn:
        self.faults = [*self.faults[: MOST_FAULTS - 1], Fault(self.name, line, column, says)]
        raise _Stop

    def build(self, text: str) -> None:
        documents = 0
        for event in self._events(text):
            line, column = _place_of(event.start_mark)
            if isinstance(event, yaml.NodeEvent):
                self._take(event, line, column)
            elif isinstance(event, yaml.DocumentStartEvent):
                documents += 1
                if documents > 1:
                    self.stop(line, column, "a second document begins here; write one document in a file")
            elif isinstance(event, yaml.CollectionEndEvent):
                self._open.pop()
                self._keys.pop()
        if self.root is None or (isinstance(self.root, Leaf) and self.root.empty):
            self.stop(1, 1, "the file is empty; write the entries into it")

    def _events(self, text: str) -> Iterator[yaml.Event]:
        try:
            yield from yaml.parse(text, Loader=_LOADER)
        except yaml.MarkedYAMLError as error:
            line, column = _place_of(error.problem_mark)
            says = f"this cannot be read as YAML ({error.problem}); mend this line or the one before"
            self.stop(line, column, says)

    def _take(self, event: yaml.NodeEvent, line: int, column: int) -> None:
        self._room -= 1
        if self._room < 0:
            self.stop(line, column, "the file holds too many values; split it")
        if event.anchor is not None:
            what = "alias" if isinstance(event, yaml.AliasEvent) else "anchor"
            self.fault(line, column, f"write the value out instead of the {what} '{str(event.anchor)[:40]}'")
        if getattr(event, "tag", None) is not None:
            self.fault(line, column, f"take the tag '{str(getattr(event, 'tag', ''))[:40]}' away")
        if isinstance(event, yaml.ScalarEvent):
            self._place(Leaf(event.value, not event.style, line, column))
        elif isinstance(event, yaml.MappingStartEvent):
            self._enter(Branch(line, column))
        elif isinstance(event, yaml.SequenceStartEvent):
            self._enter(Listing(line, column))
        else:
            self._place(Leaf("", True, line, column))

    def _enter(self, node: Branch | Listing) -> None:
        if len(self._open) >= MAX_DEPTH:
            self.stop(
                node.line, node.column, f"this is nested deeper than {MAX_DEPTH} levels; write it flatter"
            )
        self._place(node)
        self._open.append(node)
        self._keys.append(None)

    def _place(self, node: Node) -> None:
        if not self._open:
            self.root = node
            return
        parent = self._open[-1]
        if isinstance(parent, Listing):
            parent.nodes.append(node)
            return
        key = self._keys[-1]
        if key is None:
            self._keys[-1] = self._key(node)
            return
        self._keys[-1] = None
        if key.text in parent.pairs:
            self.fault(key.line, key.column, f"'{key.text[:40]}' is written twice; keep one of the two")
            return
        parent.pairs[key.text] = node
        parent.places[key.text] = (key.line, key.column)

    def _key(self, node: Node) -> Leaf:
        if not isinstance(node, Leaf):
            self.stop(node.line, node.column, "a name is expected here, not a list or a mapping")
        return node


def _place_of(mark: Any) -> tuple[int, int]:
    return mark.line + 1, mark.column + 1


def plain(node: Node) -> Plain:
    """Turn a tree into plain data: text, true and false, null, lists and mappings."""
    if isinstance(node, Branch):
        return {key: plain(value) for key, value in node.pairs.items()}
    if isinstance(node, Listing):
        return [plain(value) for value in node.nodes]
    if node.empty:
        return None
    if node.plain and node.text in ("true", "false"):
        return node.text == "true"
    return node.text
