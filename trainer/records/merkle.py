"""Merkle trees over the ledger, so that two exports can be checked for consistency.

Source: RFC 6962 section 2.1 (root, inclusion, consistency); the verifying steps as in RFC 9162 section 2.1.3.2
and 2.1.4.2. Published verify cases: tests/sources/vectors/merkle-rfc6962.json (seen).
"""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256

from trainer.errors import Refused

HASH_BYTES = 32


def leaf_hash(data: bytes) -> bytes:
    """Hash of one leaf: SHA-256 of 0x00 and the data."""
    return sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """Hash of a node: SHA-256 of 0x01 and both children."""
    return sha256(b"\x01" + left + right).digest()


def root(leaves: Sequence[bytes]) -> bytes:
    """Root over the data of the leaves; SHA-256 of nothing for an empty tree."""
    return _root([leaf_hash(leaf) for leaf in leaves])


def inclusion_proof(leaves: Sequence[bytes], index: int) -> list[bytes]:
    """The hashes that lead from leaf ``index`` to the root, lowest first."""
    if not 0 <= index < len(leaves):
        raise Refused(f"There is no leaf {index} in a tree of {len(leaves)}.")
    return _path([leaf_hash(leaf) for leaf in leaves], index)


def consistency_proof(leaves: Sequence[bytes], first: int) -> list[bytes]:
    """The hashes showing that the tree of the first ``first`` leaves is the beginning of this one."""
    if not 0 < first <= len(leaves):
        raise Refused(f"A tree of {len(leaves)} leaves cannot be compared with one of {first}.")
    return _subproof([leaf_hash(leaf) for leaf in leaves], first, whole=True)


def is_included(leaf: bytes, index: int, size: int, proof: Sequence[bytes], expected: bytes) -> bool:
    """Say whether the leaf hash stands at ``index`` in the tree of ``size`` leaves with the expected root."""
    if not 0 <= index < size or len(leaf) != HASH_BYTES:
        return False
    place, last, hashed = index, size - 1, leaf
    for step in proof:
        if last == 0:
            return False
        if place & 1 or place == last:
            hashed = node_hash(step, hashed)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            hashed = node_hash(hashed, step)
        place, last = place >> 1, last >> 1
    return last == 0 and hashed == expected


def is_consistent(first: int, second: int, root1: bytes, root2: bytes, proof: Sequence[bytes]) -> bool:
    """Say whether the tree of ``second`` leaves with root2 grew from the tree of ``first`` with root1.

    A first size of 0 is refused: it would be consistent with anything.
    """
    if not 0 < first <= second:
        return False
    if first == second:
        return not proof and root1 == root2
    steps = list(proof)
    if first & (first - 1) == 0:
        steps.insert(0, root1)
    return bool(steps) and _grown(first - 1, second - 1, steps) == (root1, root2)


def _grown(place: int, last: int, steps: list[bytes]) -> tuple[bytes, bytes] | None:
    """The two roots that the proof leads to, or None if it has a step too many or too few."""
    while place & 1:
        place, last = place >> 1, last >> 1
    old = new = steps[0]
    for step in steps[1:]:
        if last == 0:
            return None
        if place & 1 or place == last:
            old, new = node_hash(step, old), node_hash(step, new)
            while not place & 1 and place:
                place, last = place >> 1, last >> 1
        else:
            new = node_hash(new, step)
        place, last = place >> 1, last >> 1
    return (old, new) if last == 0 else None


def _split(size: int) -> int:
    """The largest power of two smaller than ``size`` (2 or more)."""
    return 1 << ((size - 1).bit_length() - 1)


def _root(hashes: Sequence[bytes]) -> bytes:
    if not hashes:
        return sha256(b"").digest()
    if len(hashes) == 1:
        return hashes[0]
    middle = _split(len(hashes))
    return node_hash(_root(hashes[:middle]), _root(hashes[middle:]))


def _path(hashes: Sequence[bytes], index: int) -> list[bytes]:
    if len(hashes) <= 1:
        return []
    middle = _split(len(hashes))
    if index < middle:
        return [*_path(hashes[:middle], index), _root(hashes[middle:])]
    return [*_path(hashes[middle:], index - middle), _root(hashes[:middle])]


def _subproof(hashes: Sequence[bytes], first: int, *, whole: bool) -> list[bytes]:
    if first == len(hashes):
        return [] if whole else [_root(hashes)]
    middle = _split(len(hashes))
    if first <= middle:
        return [*_subproof(hashes[:middle], first, whole=whole), _root(hashes[middle:])]
    return [*_subproof(hashes[middle:], first - middle, whole=False), _root(hashes[:middle])]
