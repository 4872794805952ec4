"""Write plain data as YAML that the reader of this bank gives back as it was."""

from __future__ import annotations

import re
from typing import Any

import yaml

WIDTH = 110
_SAFE = re.compile(r"[a-z][a-z-]*[a-z]")  # words that no reader of YAML takes for anything but text
_WORDS = frozenset({"true", "false", "null", "yes", "no", "on", "off"})


class _Writer(yaml.SafeDumper):
    """Quote every text but plain words, since readers differ in what they take for a number, a day or a truth."""

    def ignore_aliases(self, data: Any) -> bool:
        return True  # the reader takes none


def _text(writer: _Writer, text: str) -> yaml.ScalarNode:
    plain = _SAFE.fullmatch(text) is not None and text not in _WORDS
    return writer.represent_scalar("tag:yaml.org,2002:str", text, style=None if plain else '"')


_Writer.add_representer(str, _text)


def write_yaml(data: Any) -> str:
    """Return plain data as one YAML document, keys in their own order."""
    text: str = yaml.dump(data, Dumper=_Writer, sort_keys=False, allow_unicode=True, width=WIDTH)
    return text
