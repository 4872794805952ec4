"""Lists of withdrawn records."""

from __future__ import annotations

import base64
import json

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from record_cases import LIST, SHOP, make_list

from tests.work import bytes_in
from trainer.errors import Refused, Unreadable
from trainer.records import statuslist
from trainer.records.statuslist import StatusPlace


@settings(max_examples=30)
@given(st.sets(st.integers(0, statuslist.PLACES - 1), max_size=50))
def test_exactly_the_named_places_are_set(places: set[int]) -> None:
    """Written and read back, the list has the named places set and no other."""
    bits = statuslist.expand(statuslist.encode(places))
    assert all(statuslist.is_set(bits, place) for place in places)
    assert sum(byte.bit_count() for byte in bits) == len(places)


@pytest.mark.parametrize(
    ("place", "byte", "bit"),
    [(0, 0, 0x80), (7, 0, 0x01), (8, 1, 0x80), (statuslist.PLACES - 1, statuslist.PLACES // 8 - 1, 0x01)],
)
def test_the_first_place_is_the_left_most_bit(place: int, byte: int, bit: int) -> None:
    """W3C Bitstring Status List v1.0: the first index, with value zero, is the left-most bit of the bitstring."""
    bits = statuslist.expand(statuslist.encode([place]))
    assert [(n, one) for n, one in enumerate(bits) if one] == [(byte, bit)]


def test_the_same_places_give_the_same_text() -> None:
    """A list does not depend on the order of the places or on the time of writing, of which it tells nothing."""
    assert statuslist.encode([5, 1]) == statuslist.encode([1, 5, 5])
    packed = base64.urlsafe_b64decode(statuslist.encode([1])[1:] + "==")
    assert packed[4:8] == bytes(4)  # RFC 1952, 2.3.1: MTIME = 0 means that no time is given


def test_a_list_is_short() -> None:
    """131,072 places of which few are set take less than 200 characters."""
    assert len(statuslist.encode([1, 70_000, 131_071])) < 200


@pytest.mark.parametrize("place", [-1, statuslist.PLACES])
def test_places_outside_are_refused(place: int) -> None:
    """A place outside the list is neither written nor read."""
    with pytest.raises(Refused):
        statuslist.encode([place])
    with pytest.raises(Unreadable):
        statuslist.is_set(bytes(statuslist.PLACES // 8), place)


@pytest.mark.parametrize(
    "written",
    [
        "",
        "u",
        "x" + statuslist.encode([])[1:],
        "uAAAA",
        statuslist.encode([])[:-8],
        "u" + "A" * 5,
        "uH4s+",
        statuslist.encode([], statuslist.PLACES // 2),
    ],
)
def test_what_is_no_list_is_said(written: str) -> None:
    """A text that is not a whole list gets a sentence."""
    with pytest.raises(Unreadable, match="status list"):
        statuslist.expand(written)


def test_a_list_that_unpacks_hugely_is_not_unpacked() -> None:
    """A list of some kilobytes is unpacked as far as a list may go, and no further."""
    written = statuslist.encode([], statuslist.MAX_PLACES * 100)
    assert len(written) < 100_000

    def read() -> None:
        with pytest.raises(Unreadable, match="no list of ours"):
            statuslist.expand(written)

    assert bytes_in(read) < statuslist.MAX_PLACES
    assert len(statuslist.expand(statuslist.encode([], statuslist.MAX_PLACES))) == statuslist.MAX_PLACES // 8


def test_a_signed_list_says_what_it_is() -> None:
    """The signed list names its purpose, its issuer and its days."""
    document = json.loads(make_list((3,)))
    assert document["id"] == LIST
    assert document["issuer"]["id"] == SHOP.did
    assert document["credentialSubject"]["statusPurpose"] == "revocation"
    assert document["validFrom"] < document["validUntil"]


def test_only_two_purposes() -> None:
    """A list revokes or suspends, nothing else."""
    with pytest.raises(Refused):
        make_list(purpose="message")
    with pytest.raises(Refused):
        StatusPlace(LIST, "refresh", 1)
    for outside in (-1, statuslist.MAX_PLACES):
        with pytest.raises(Refused):
            StatusPlace(LIST, "revocation", outside)
    for inside in (0, statuslist.MAX_PLACES - 1):
        assert StatusPlace(LIST, "revocation", inside).entry()["statusListIndex"] == str(inside)
