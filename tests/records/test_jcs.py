"""Canonical JSON and the strict reader."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.errors import Unreadable
from trainer.records import jcs

VALUES = st.recursive(
    st.none()
    | st.booleans()
    | st.integers(-(2**53) + 1, 2**53 - 1)
    | st.floats(-(2.0**53) + 1, 2.0**53 - 1)  # beyond, a whole double reads as an integer that is refused
    | st.text(st.characters(exclude_categories=["Cs"])),
    lambda inner: st.lists(inner) | st.dictionaries(st.text(st.characters(exclude_categories=["Cs"])), inner),
    max_leaves=20,
)


@given(VALUES)
def test_what_is_written_is_read_back(value: jcs.Json) -> None:
    """The canonical form and the indented form both read back to the same canonical form."""
    written = jcs.canonical(value)
    assert jcs.canonical(jcs.parse(written)) == written
    assert jcs.canonical(jcs.parse(jcs.written(value))) == written


@given(st.dictionaries(st.text(st.characters(exclude_categories=["Cs"]), max_size=3), st.integers(0, 9)))
def test_order_of_members_is_nothing(members: dict[str, int]) -> None:
    """Members in another order have the same canonical form."""
    assert jcs.canonical(dict(reversed(members.items()))) == jcs.canonical(members)


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b'{"a":1,"a":1}', "twice"),
        (b'{"a":1,"\\u0061":2}', "twice"),
        (b"[NaN]", "NaN"),
        (b"[Infinity]", "Infinity"),
        (b"[-Infinity]", "Infinity"),
        (b"[1e999]", "too large"),
        (b"[9007199254740992]", "too many digits"),
        (b"[" + b"9" * 5000 + b"]", "too many digits"),
        (b'["\\ud800"]', "surrogate"),
        (b'{"\\udc00":1}', "surrogate"),
        (b'["\xff"]', "UTF-8"),
        (b"\xef\xbb\xbf[]", "not complete JSON"),
        (b"[1,]", "not complete JSON"),
        (b"", "not complete JSON"),
        (b'{"a":1', "not complete JSON"),
        (b"[" * 61 + b"]" * 61, "nested"),
        (b" " * 2_000_001, "2 MB"),
    ],
)
def test_what_could_be_read_in_two_ways_is_refused(text: bytes, says: str) -> None:
    """Every text that two programs could read differently gets a sentence that says why."""
    with pytest.raises(Unreadable, match=says):
        jcs.parse(text)


def test_limits_are_exact() -> None:
    """Sixty levels and the largest exact integer pass; brackets inside texts do not count."""
    assert jcs.parse(b"[" * 60 + b"]" * 60)
    assert jcs.parse(b"[9007199254740991,-9007199254740991]") == [2**53 - 1, 1 - 2**53]
    assert jcs.parse(json.dumps(["[" * 100]).encode()) == ["[" * 100]
    assert jcs.parse(b'["\\ud83d\\ude02"]') == ["\U0001f602"]


@pytest.mark.parametrize("value", [float("nan"), float("inf"), 2**53, "\ud800", {"\udc00": 1}])
def test_what_has_no_form_is_not_written(value: jcs.Json) -> None:
    """A value without a canonical form is refused instead of being written somehow."""
    with pytest.raises(Unreadable):
        jcs.canonical(value)


def test_a_file_of_the_greatest_length_is_read(monkeypatch: pytest.MonkeyPatch) -> None:
    """The limit itself is allowed, one byte more is not."""
    monkeypatch.setattr(jcs, "MAX_BYTES", 6)
    assert jcs.parse(b'"1234"') == "1234"
    with pytest.raises(Unreadable, match="larger than"):
        jcs.parse(b'"12345"')
