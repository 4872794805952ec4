"""The hash chain of the ledger and of the audit notes, and its signed head.

Each link's hash is SHA-256 over the canonical JSON of {seq, time, event, prev}. An edit, a deletion or a swap
breaks the chain; a tail cut off or a chain rewritten as a whole does not, which is why heads are signed and
handed out with every export (reference: open standards notes, section 8; vector: hash-chain.json, ours).
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.errors import Refused, Unreadable
from trainer.languages import _
from trainer.records import jcs, merkle, proof
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey

START = "0" * 64


@dataclass(frozen=True, slots=True)
class Link:
    """One link: its place, its time as text, what happened, and the two hashes in hexadecimal."""

    seq: int
    time: str
    event: Json
    prev: str
    hash: str


@dataclass(frozen=True, slots=True)
class Break:
    """The first place where a chain does not hold."""

    seq: int
    says: str


@dataclass(frozen=True, slots=True)
class Head:
    """The state of a chain at one time: how many links, the last hash, the Merkle root over all hashes."""

    size: int
    last: str
    root: str
    time: str


def link(seq: int, time: str, event: Json, prev: str) -> Link:
    """Make the link that follows the one with hash ``prev`` (START for the first)."""
    return Link(seq, time, event, prev, hash_of(seq, time, event, prev))


def hash_of(seq: int, time: str, event: Json, prev: str) -> str:
    """SHA-256 of the canonical JSON of the four members, in hexadecimal."""
    return jcs.digest({"seq": seq, "time": time, "event": event, "prev": prev}).hex()


def walk(links: Iterable[Link], head: Head | None = None) -> Break | None:
    """Walk the chain from its start; return the first broken link, or None if it holds.

    With an earlier head the walk also tells a tail that was cut off and a history written anew.
    """
    prev, count, at_head = START, 0, START
    leaves: list[bytes] = []
    for expected, found in enumerate(links):
        broken = _fault(expected, prev, found)
        if broken:
            return broken
        prev, count = found.hash, expected + 1
        leaves.append(bytes.fromhex(found.hash))
        if head and count == head.size:
            at_head = prev
    return _against(head, count, at_head, leaves) if head else None


def walk_on(links: Iterable[Link], count: int, prev: str) -> Break | None:
    """Walk the links that follow the first ``count``, the last of which has the hash ``prev``."""
    for expected, found in enumerate(links, count):
        broken = _fault(expected, prev, found)
        if broken:
            return broken
        prev = found.hash
    return None


def head_of(links: Sequence[Link], time: str) -> Head:
    """The head of a chain that holds; ``time`` is when the head is taken."""
    leaves = [bytes.fromhex(one.hash) for one in links]
    return Head(len(links), links[-1].hash if links else START, merkle.root(leaves).hex(), time)


def signed_head(head: Head, key: SigningKey) -> dict[str, Json]:
    """The head as a signed JSON document to hand out."""
    return proof.sign(
        {
            "type": ["LedgerHead"],
            "issuer": key.did,
            "size": head.size,
            "last": head.last,
            "root": head.root,
            "time": head.time,
        },
        key,
        head.time,
    )


def read_head(data: bytes, issuer: str) -> Head:
    """Read a signed head and check that ``issuer`` signed it; raise Unreadable or Refused if not."""
    document = jcs.parse(data)
    if not isinstance(document, dict) or document.get("type") != ["LedgerHead"]:
        raise Unreadable(_("The file is not a signed head of a ledger."))
    try:
        signers = [one.signer for one in proof.signatures(document)]
    except proof.NotGenuine as fault:
        raise Refused(_("The head of the ledger cannot be relied on. %(fault)s", fault=fault)) from None
    if document.get("issuer") != issuer or signers != [issuer]:
        raise Refused(_("The head of the ledger was signed by another key than the issuer's."))
    return _head(document)


def _head(document: dict[str, Json]) -> Head:
    size = document.get("size")
    last, root, time = (document.get(name) for name in ("last", "root", "time"))
    texts = isinstance(last, str) and isinstance(root, str) and isinstance(time, str)
    if not texts or not isinstance(size, int) or isinstance(size, bool):
        raise Unreadable(_("The signed head lacks its size, hash, root or time."))
    return Head(size, str(last), str(root), str(time))


def _fault(expected: int, prev: str, found: Link) -> Break | None:
    if found.seq != expected:
        return Break(
            expected,
            _(
                "Link %(expected)s is missing: link %(seq)s stands in its place, or the order was changed.",
                expected=expected,
                seq=found.seq,
            ),
        )
    if found.prev != prev:
        return Break(
            expected, _("Link %(expected)s does not follow from the link before it.", expected=expected)
        )
    try:
        hashed = hash_of(found.seq, found.time, found.event, found.prev)
    except Unreadable:
        return Break(
            expected,
            _("Link %(expected)s holds something that was never written by this program.", expected=expected),
        )
    if found.hash != hashed:
        return Break(
            expected,
            _(
                "Link %(expected)s was changed after it was written: its hash does not fit.",
                expected=expected,
            ),
        )
    return None


def _against(head: Head, count: int, at_head: str, leaves: list[bytes]) -> Break | None:
    if count < head.size:
        return Break(
            count,
            _(
                "The chain ends after %(count)s links, but a head signed on %(time)s counted "
                "%(size)s: its end was cut off.",
                count=count,
                time=head.time,
                size=head.size,
            ),
        )
    if at_head != head.last or merkle.root(leaves[: head.size]).hex() != head.root:
        return Break(
            0,
            _(
                "The chain was written anew: it is not the one whose head was signed on %(time)s.",
                time=head.time,
            ),
        )
    return None
