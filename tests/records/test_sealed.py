"""What is sealed opens with its own key and words only; its length tells nothing; a weak passphrase is refused."""

from __future__ import annotations

import base64

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from trainer.errors import Refused, Unreadable
from trainer.records import sealed

WORDS = "axle draw hook coil"
KEY, SALT, NONCE = bytes(range(32)), bytes(range(16)), bytes(range(12))
FACTS = {"question": "yokes-off-first", "seed": 123456789}


def test_a_key_is_unwrapped_by_its_passphrase_alone() -> None:
    """The same key comes back; another passphrase, another salt or a changed byte gets one sentence."""
    wrapped = sealed.wrap(KEY, WORDS, SALT)
    assert base64.b64encode(KEY).decode()[:20] not in wrapped
    assert sealed.unwrap(wrapped, WORDS, SALT) == KEY
    for changed, words, salt in (
        (wrapped, WORDS + " ", SALT), (wrapped, WORDS, bytes(16)), ("A" + wrapped[1:], WORDS, SALT),
        ("", WORDS, SALT), ("not base64!", WORDS, SALT),
    ):  # fmt: skip
        if (changed, words, salt) != (wrapped, WORDS, SALT):
            with pytest.raises(Refused, match="not the passphrase"):
                sealed.unwrap(changed, words, salt)


def test_letters_composed_in_two_ways_are_one_passphrase() -> None:
    """A phone may send e and its accent as one character, a laptop as two."""
    assert (
        sealed.unwrap(sealed.wrap(KEY, "pi\u00e8ce \u00e0 tester", SALT), "pie\u0300ce a\u0300 tester", SALT)
        == KEY
    )


@given(
    st.dictionaries(
        st.text(max_size=20), st.one_of(st.integers(), st.text(max_size=40), st.none()), max_size=8
    )
)
@settings(max_examples=60)
def test_every_fact_comes_back(facts: dict[str, object]) -> None:
    """Whatever JSON holds comes back as it was."""
    assert sealed.unseal(KEY, sealed.seal(KEY, facts, NONCE, "sitting 1", 64), "sitting 1") == facts


def test_what_was_changed_or_moved_is_not_opened() -> None:
    """Another key, another sitting, any single byte: refused, never half opened."""
    text = sealed.seal(KEY, FACTS, NONCE, "sitting 1", 64)
    data = base64.b64decode(text)
    for place in range(len(data)):
        broken = data[:place] + bytes([data[place] ^ 1]) + data[place + 1 :]
        with pytest.raises(Unreadable):
            sealed.unseal(KEY, base64.b64encode(broken).decode(), "sitting 1")
    for key, words, what in (
        (bytes(32), "sitting 1", text),
        (KEY, "sitting 2", text),
        (KEY, "sitting 1", ""),
    ):
        with pytest.raises(Unreadable):
            sealed.unseal(key, what, words)


def test_the_length_tells_nothing() -> None:
    """A short and a long item are of one length on the disk."""
    lengths = {len(sealed.seal(KEY, {"question": "x" * n}, NONCE, "s", 256)) for n in range(1, 200)}
    assert len(lengths) == 1


def test_a_name_needs_the_key() -> None:
    """The same word has another name under another key."""
    assert sealed.name(KEY, "a" * 64) == sealed.name(KEY, "a" * 64)
    assert sealed.name(KEY, "a" * 64) != sealed.name(bytes(32), "a" * 64)


@pytest.mark.parametrize("words", ["", "short", "aaaaaaaaaaaaaaaa", "abababababab"])
def test_a_weak_passphrase_is_refused(words: str) -> None:
    """Too short, or of too few different characters."""
    with pytest.raises(Refused):
        sealed.check(words)
