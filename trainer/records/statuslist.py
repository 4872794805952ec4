"""Lists that say which records were withdrawn: W3C Bitstring Status List v1.0, carried as a signed file.

Source: W3C Bitstring Status List v1.0 (seen, commit 74fcae11): bit 0 is the most significant bit of byte 0, the
list is gzip in base64url without padding after the letter u, and has at least 131,072 places.
Offline limit, to be said wherever a verdict is shown: a withdrawal newer than the list cannot be seen.
"""

from __future__ import annotations

import base64
import binascii
import gzip
import re
import zlib
from collections.abc import Iterable
from dataclasses import dataclass

from trainer.errors import Refused, Unreadable
from trainer.languages import _
from trainer.records import proof
from trainer.records.issuers import VC_CONTEXT
from trainer.records.jcs import Json
from trainer.records.keys import SigningKey

PLACES = 131_072
MAX_PLACES = 16 * PLACES
PURPOSES = ("revocation", "suspension")
_WRITTEN = re.compile(r"u[A-Za-z0-9_-]+")


@dataclass(frozen=True, slots=True)
class StatusPlace:
    """Where a record's status stands: the id of the list (a urn:uuid), the purpose and the index."""

    list_id: str
    purpose: str
    index: int

    def __post_init__(self) -> None:
        if self.purpose not in PURPOSES or not 0 <= self.index < MAX_PLACES:
            raise Refused("A status is a revocation or a suspension at a place that the list has.")

    def entry(self) -> dict[str, Json]:
        """The credentialStatus member that points here."""
        return {
            "id": f"{self.list_id}#{self.index}",
            "type": "BitstringStatusListEntry",
            "statusPurpose": self.purpose,
            "statusListIndex": str(self.index),
            "statusListCredential": self.list_id,
        }


def encode(set_places: Iterable[int], places: int = PLACES) -> str:
    """Write the list with these places set; the same places give the same text."""
    bits = bytearray(places // 8)
    for index in set_places:
        if not 0 <= index < places:
            raise Refused(f"Place {index} is outside a list of {places} places; begin a new list.")
        bits[index // 8] |= 0x80 >> index % 8
    return "u" + base64.urlsafe_b64encode(gzip.compress(bytes(bits), mtime=0)).rstrip(b"=").decode("ascii")


def expand(encoded: str) -> bytes:
    """The bits of a written list; raise Unreadable if it is not one or grows beyond bounds."""
    if not _WRITTEN.fullmatch(encoded):
        raise Unreadable(_("The status list is not written as one: it must begin with u, without padding."))
    body = encoded[1:]
    try:
        packed = base64.b64decode(body + "=" * (-len(body) % 4), altchars=b"-_")
        reader = zlib.decompressobj(wbits=31)
        bits = reader.decompress(packed, MAX_PLACES // 8 + 1)
    except (binascii.Error, zlib.error):
        raise Unreadable(_("The status list cannot be unpacked; ask the issuer for a fresh copy.")) from None
    if len(bits) > MAX_PLACES // 8:
        raise Unreadable(
            _("The status list has more than %(most)s places; no list of ours has.", most=MAX_PLACES)
        )
    if not reader.eof or reader.unused_data:
        raise Unreadable(_("The status list is cut off or has something behind it; ask for a fresh copy."))
    if len(bits) < PLACES // 8:
        raise Unreadable(
            _("The status list has fewer than %(places)s places, which the standard forbids.", places=PLACES)
        )
    return bits


def is_set(bits: bytes, index: int) -> bool:
    """Say whether the place is set; raise Unreadable if the list does not reach so far."""
    if not 0 <= index < len(bits) * 8:
        raise Unreadable(
            _("The status list has no place %(index)s; it is not the list of this record.", index=index)
        )
    return bool(bits[index // 8] & 0x80 >> index % 8)


def signed_list(
    list_id: str,
    purpose: str,
    set_places: Iterable[int],
    key: SigningKey,
    name: str,
    valid_from: str,
    valid_until: str,
) -> dict[str, Json]:
    """The list as a signed credential: its state at ``valid_from``, to be renewed by ``valid_until``."""
    if purpose not in PURPOSES:
        raise Refused("A status list says either revocation or suspension.")
    document: dict[str, Json] = {
        "@context": [VC_CONTEXT],
        "id": list_id,
        "type": ["VerifiableCredential", "BitstringStatusListCredential"],
        "issuer": {"id": key.did, "type": ["Profile"], "name": name},
        "validFrom": valid_from,
        "validUntil": valid_until,
        "credentialSubject": {
            "id": f"{list_id}#list",
            "type": "BitstringStatusList",
            "statusPurpose": purpose,
            "encodedList": encode(set_places),
        },
    }
    return proof.sign(document, key, valid_from)
