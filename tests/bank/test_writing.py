"""YAML that is written is read back as it was, by us and by a reader of YAML 1.1."""

from __future__ import annotations

import pytest
import yaml

from trainer.bank.writing import write_yaml
from trainer.bank.yamltext import read_yaml
from trainer.drills.shelf import Shelf

AWKWARD = ["yes", "no", "on", "null", "~", "1:30", "0.25", "1e3", "2026-11-25", "&a", "*a", "!x", "- a", "a: b", "# c",
           " a ", "", "a\nb", "'", '"', "Ω µ ½", "x" * 300, "=", "<<", "0x1F", "012", "true", "[a]", "{a}"]  # fmt: skip


@pytest.mark.parametrize("text", AWKWARD)
def test_a_text_stays_a_text(text: str) -> None:
    """Whatever looks like a number, a day, a truth or a sign of YAML comes back as the same text."""
    written = write_yaml({"key": text, "list": [text]})
    assert read_yaml(written, "x").data == yaml.safe_load(written) == {"key": text, "list": [text]}


def test_every_item_of_the_bank_comes_back(shelf: Shelf) -> None:
    """Content written out and read again is the same content, so its edition is too."""
    entries = [*shelf.bank.drills.values(), *shelf.bank.questions.values(), *shelf.bank.practicals.values()]
    for entry in entries:
        assert read_yaml(write_yaml(entry.content), "x").data == entry.content, entry.id


def test_what_stands_twice_is_written_out() -> None:
    """No aliases, which our reader refuses."""
    same = ["a"]
    assert read_yaml(write_yaml({"one": same, "two": same}), "x").data == {"one": ["a"], "two": ["a"]}
