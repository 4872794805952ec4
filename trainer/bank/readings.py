"""Content files as they were read last time, so that a start reads YAML only where a file has changed.

A reading lies as JSON in ``__pycache__`` beside its file, as Python's own do, and names the text it is of:
whoever can forge it can write the file as well. Checking what was read against the models is never left out.
"""

from __future__ import annotations

import json
import os
from collections.abc import Iterator, Mapping
from functools import cache, cached_property
from hashlib import sha256
from pathlib import Path

from trainer.bank import yamltext
from trainer.bank.yamltext import Located, Place, read_yaml

FOLDER = "__pycache__"


def reading(path: Path, text: bytes, name: str) -> Located:
    """The plain data of a file with this text, kept or read anew; FaultyFiles as `read_yaml`."""
    kept = _place_of(path)
    of = _digest(text)
    try:
        found = json.loads(kept.read_bytes())
        if found["of"] == of:
            return Located(name, found["data"], _LaterMarks(text, name))
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        pass  # it only saves time: what is missing or damaged is read again
    located = read_yaml(text, name)
    _keep(kept, json.dumps({"of": of, "data": located.data}))
    return located


def forget(path: Path) -> None:
    """Take away what was kept of a file that is taken away itself."""
    _place_of(path).unlink(missing_ok=True)


def _place_of(path: Path) -> Path:
    return path.parent / FOLDER / f"{path.name}.json"


def _keep(file: Path, text: str) -> None:
    """Write a reading whole or not at all; a folder that cannot be written costs time, nothing else."""
    part = file.with_name(f"{file.name}.{os.getpid()}")
    try:
        file.parent.mkdir(exist_ok=True)
        part.write_text(text, encoding="utf-8")
        part.replace(file)
    except OSError:
        return


def _digest(text: bytes) -> str:
    return sha256(_reader() + text).hexdigest()


@cache
def _reader() -> bytes:
    """The reader's own text: a reading by another reader is not believed."""
    return sha256(Path(yamltext.__file__).read_bytes()).digest()


class _LaterMarks(Mapping[Place, tuple[int, int]]):
    """The places of a kept reading, looked up in its text only once a fault must point at one."""

    def __init__(self, text: bytes, name: str) -> None:
        self._text, self._name = text, name

    @cached_property
    def _marks(self) -> Mapping[Place, tuple[int, int]]:
        return read_yaml(self._text, self._name).marks

    def __getitem__(self, place: Place) -> tuple[int, int]:
        return self._marks[place]

    def __iter__(self) -> Iterator[Place]:
        return iter(self._marks)

    def __len__(self) -> int:
        return len(self._marks)
