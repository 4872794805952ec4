"""The hash chain names its first broken link; heads show what the chain alone cannot."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from trainer.errors import Refused, Unreadable
from trainer.records import chain, jcs, merkle, proof
from trainer.records.keys import SigningKey

KEY = SigningKey(bytes(range(32)))
NOON = "2026-03-02T12:00:00Z"


def make_chain(size: int, word: str = "hours") -> list[chain.Link]:
    """A chain that holds."""
    links: list[chain.Link] = []
    for seq in range(size):
        prev = links[-1].hash if links else chain.START
        links.append(chain.link(seq, f"2026-03-02T09:00:{seq:02}Z", {"kind": word, "n": seq}, prev))
    return links


@given(st.integers(0, 20))
def test_a_chain_as_written_holds(size: int) -> None:
    """A chain that nobody touched has no broken link."""
    links = make_chain(size)
    assert chain.walk(links, chain.head_of(links, NOON)) is None


@given(st.integers(2, 12).flatmap(lambda size: st.tuples(st.just(size), st.integers(0, size - 1))))
def test_an_edit_is_named(size_and_place: tuple[int, int]) -> None:
    """The first link that was edited is the one that is named, whichever member was edited."""
    size, place = size_and_place
    for change in ({"event": {"kind": "other"}}, {"time": "2020-01-01T00:00:00Z"}, {"hash": "ab" * 32}):
        links = make_chain(size)
        links[place] = replace(links[place], **change)
        broken = chain.walk(links)
        assert broken is not None
        assert broken.seq == place
        assert str(place) in broken.says


def test_deletion_swap_and_repeat_are_named() -> None:
    """A link taken out, two swapped, one repeated: the walk stops at the first wrong place."""
    links = make_chain(6)
    spoilt = [
        (links[:2] + links[3:], 2),
        ([*links[:1], links[2], links[1], *links[3:]], 1),
        ([*links[:3], links[2], *links[3:]], 3),
        (links[1:], 0),
    ]
    for found, seq in spoilt:
        broken = chain.walk(found)
        assert broken is not None
        assert broken.seq == seq


def test_a_link_spliced_in_is_named() -> None:
    """A link with a right hash of its own, put in place of another, breaks at the next."""
    links = make_chain(4)
    links[1] = chain.link(1, NOON, {"kind": "forged"}, links[0].hash)
    broken = chain.walk(links)
    assert broken is not None
    assert broken.seq == 2


def test_an_event_without_a_form_is_named() -> None:
    """An event that could never have been written is a broken link, not a crash."""
    broken = chain.walk([chain.Link(0, NOON, {"n": float("nan")}, chain.START, "0" * 64)])
    assert broken is not None
    assert broken.seq == 0


def test_only_a_head_shows_a_cut_tail_and_a_rewriting() -> None:
    """The chain alone does not show them; with an earlier head the walk does."""
    links = make_chain(5)
    head = chain.head_of(links, NOON)
    cut, rewritten = links[:3], make_chain(5, "other")
    assert chain.walk(cut) is None
    assert chain.walk(rewritten) is None
    shorter, other = chain.walk(cut, head), chain.walk(rewritten, head)
    assert shorter is not None
    assert "cut off" in shorter.says
    assert other is not None
    assert "anew" in other.says
    assert chain.walk(make_chain(9), head) is None


@pytest.mark.parametrize("size", [1, 3, 5])
@pytest.mark.parametrize("other", [{"last": "ab" * 32}, {"root": "ab" * 32}])
def test_last_link_and_root_of_a_head_must_both_fit(size: int, other: dict[str, str]) -> None:
    """A head of which one half fits is that of another history."""
    links = make_chain(5)
    head = chain.head_of(links[:size], NOON)
    assert chain.walk(links, head) is None
    broken = chain.walk(links, replace(head, **other))
    assert broken is not None


def test_two_heads_can_be_compared() -> None:
    """An employer with two exports checks that the later ledger grew from the earlier one."""
    links = make_chain(9)
    early, late = chain.head_of(links[:5], NOON), chain.head_of(links, NOON)
    leaves = [bytes.fromhex(one.hash) for one in links]
    steps = merkle.consistency_proof(leaves, 5)
    roots = bytes.fromhex(early.root), bytes.fromhex(late.root)
    assert merkle.is_consistent(early.size, late.size, *roots, steps)
    other = bytes.fromhex(chain.head_of(make_chain(9, "other"), NOON).root)
    assert not merkle.is_consistent(early.size, late.size, roots[0], other, steps)


def test_a_signed_head_reads_back() -> None:
    """The head that was signed is the head that is read."""
    head = chain.head_of(make_chain(3), NOON)
    assert chain.read_head(jcs.written(chain.signed_head(head, KEY)), KEY.did) == head


def test_a_spoilt_head_is_refused() -> None:
    """A head that was changed, or signed by another key, is not relied on."""
    document = chain.signed_head(chain.head_of(make_chain(3), NOON), KEY)
    with pytest.raises(Refused, match="cannot be relied on"):
        chain.read_head(jcs.written({**document, "size": 2}), KEY.did)
    with pytest.raises(Refused, match="another key"):
        chain.read_head(jcs.written(document), SigningKey(bytes(32)).did)
    with pytest.raises(Unreadable):
        chain.read_head(b"{}", KEY.did)
    with pytest.raises(Unreadable):
        chain.read_head(json.dumps({"type": ["LedgerHead"]}).encode(), KEY.did)


@given(st.lists(st.binary(max_size=8), min_size=1, max_size=40), st.data())
def test_merkle_laws(leaves: list[bytes], data: st.DataObject) -> None:
    """Every leaf is included, every beginning is consistent, and no other leaf or root passes."""
    index = data.draw(st.integers(0, len(leaves) - 1))
    root, steps = merkle.root(leaves), merkle.inclusion_proof(leaves, index)
    assert merkle.is_included(merkle.leaf_hash(leaves[index]), index, len(leaves), steps, root)
    assert not merkle.is_included(merkle.leaf_hash(leaves[index] + b"x"), index, len(leaves), steps, root)
    first = index + 1
    grown = merkle.consistency_proof(leaves, first)
    assert merkle.is_consistent(first, len(leaves), merkle.root(leaves[:first]), root, grown)
    assert not merkle.is_consistent(
        first, len(leaves), merkle.root([*leaves[:index], b"other leaf"]), root, grown
    )


@pytest.mark.parametrize("place", [-1, 3])
def test_no_proof_for_what_is_not_there(place: int) -> None:
    """Asking for a leaf or a beginning that does not exist gets a sentence; nothing is the beginning of no tree."""
    with pytest.raises(Refused):
        merkle.inclusion_proof([b"a", b"b", b"c"], place)
    for first in (place, 0):
        with pytest.raises(Refused):
            merkle.consistency_proof([b"a", b"b"], first)


def test_the_walk_goes_on_where_it_stood() -> None:
    """From any place the rest holds; an edit behind it is named by its own number, one before it is not seen."""
    links = make_chain(6)
    for count in range(1, 6):
        assert chain.walk_on(links[count:], count, links[count - 1].hash) is None
    links[4] = replace(links[4], event={"kind": "other"})
    broken = chain.walk_on(links[2:], 2, links[1].hash)
    assert broken is not None
    assert broken.seq == 4
    other = chain.walk_on(links[2:], 2, links[2].hash)
    assert other is not None
    assert other.seq == 2
    assert chain.walk_on(links[5:], 5, links[4].hash) is None


@pytest.mark.parametrize(
    "change", [{"size": "3"}, {"size": True}, {"size": None}, {"last": 3}, {"root": None}, {"time": 5}]
)
def test_a_signed_head_without_its_parts_is_unreadable(change: dict[str, jcs.Json]) -> None:
    """What is signed but says no size, hash, root or time is no head."""
    good = chain.signed_head(chain.head_of(make_chain(3), NOON), KEY)
    bare = {name: value for name, value in good.items() if name != "proof"}
    with pytest.raises(Unreadable, match="lacks its size"):
        chain.read_head(jcs.written(proof.sign({**bare, **change}, KEY, NOON)), KEY.did)


def test_a_head_is_the_issuers_by_name_and_by_signature() -> None:
    """Named but not signed, or signed but not named, is another's."""
    other = SigningKey(bytes(32))
    good = chain.signed_head(chain.head_of(make_chain(3), NOON), KEY)
    bare = {name: value for name, value in good.items() if name != "proof"}
    for document in (proof.sign(bare, other, NOON), proof.sign({**bare, "issuer": other.did}, KEY, NOON)):
        with pytest.raises(Refused, match="another key"):
            chain.read_head(jcs.written(document), KEY.did)


SIZES = range(1, 18)
LEAVES = [bytes([n]) for n in SIZES]


@pytest.mark.parametrize("size", SIZES)
def test_every_leaf_of_every_small_tree(size: int) -> None:
    """Its own proof leads to the root; with a step more or fewer, or at another place, it does not."""
    leaves = LEAVES[:size]
    root = merkle.root(leaves)
    for index, leaf in enumerate(leaves):
        hashed, steps = merkle.leaf_hash(leaf), merkle.inclusion_proof(leaves, index)
        assert merkle.is_included(hashed, index, size, steps, root)
        assert not merkle.is_included(hashed, index, size, [*steps, root], root)
        assert not steps or not merkle.is_included(hashed, index, size, steps[:-1], root)
        assert not merkle.is_included(hashed, size, size, steps, root)
        assert not merkle.is_included(hashed, -1, size, steps, root)
        assert not merkle.is_included(leaf, index, size, steps, root)
        for other in range(size):
            assert other == index or not merkle.is_included(hashed, other, size, steps, root)


@pytest.mark.parametrize("size", SIZES)
def test_every_beginning_of_every_small_tree(size: int) -> None:
    """It is consistent by its own proof, and by none with a step more, fewer, or of another beginning."""
    leaves = LEAVES[:size]
    root = merkle.root(leaves)
    for first in range(1, size + 1):
        early, steps = merkle.root(leaves[:first]), merkle.consistency_proof(leaves, first)
        assert merkle.is_consistent(first, size, early, root, steps)
        assert not merkle.is_consistent(first, size, early, root, [*steps, root])
        assert not steps or not merkle.is_consistent(first, size, early, root, steps[:-1])
        assert not merkle.is_consistent(0, size, early, root, steps)
        assert not merkle.is_consistent(size + 1, size, early, root, steps)
        if first < size:
            assert not merkle.is_consistent(first, size, root, root, steps)
            assert not merkle.is_consistent(first, size, early, early, steps)
    assert not merkle.is_consistent(size, size, root, merkle.root(LEAVES), []) or size == len(LEAVES)
