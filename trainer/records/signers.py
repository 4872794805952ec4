"""Who is to sign a record beside its issuer: named in the record before anybody signs it.

The record lists each further signer with key, name and role, so every signature covers who signs as what, the
signer's own included, and a signature that is missing can be told. A list is needed for that: in a proof set the
signatures know nothing of each other, so one that is taken away leaves no trace (W3C Verifiable Credential Data
Integrity 1.0, 2.1 and 2.1.1; 2.1 seen, repository commit eaf47815). The name could stand in the options of each
signature too, which are hashed as well; but then each key would give itself a role, and nobody else signed for it.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from trainer.errors import Refused, Unreadable
from trainer.languages import N_, _
from trainer.records import keys
from trainer.records.issuers import Issuer, find
from trainer.records.jcs import Json
from trainer.records.proof import MAX_SIGNATURES, Signature

ROLES = (N_("examiner"), N_("Level III"), N_("employer"))
"""In which roles people sign, as a record words them; who may act in which is the house's business."""
ISSUER = N_("issuer")
MOST = MAX_SIGNATURES - 1
MOST_NAME = 200


@dataclass(frozen=True, slots=True)
class Signer:
    """One person who is to sign: the public name of their key, their own name, and one of ROLES."""

    did: str
    name: str
    role: str

    def __post_init__(self) -> None:
        keys.public_of(self.did)
        if not 1 <= len(self.name) <= MOST_NAME:
            raise Refused(_("A signer has a name of 1 to %(most)s characters.", most=MOST_NAME))
        if self.role not in ROLES:
            raise Refused(_("People sign as examiner, Level III or employer; no other role is known."))


@dataclass(frozen=True, slots=True)
class Told:
    """What is told of one signature; ``role`` is ISSUER, one of ROLES, or None where the record gives none.

    ``created`` is the time that it states; ``pinned`` is the key's name on the list of who verifies, or None.
    """

    key: str
    name: str | None
    role: str | None
    is_there: bool
    created: str | None = None
    pinned: str | None = None

    @property
    def says(self) -> str:
        """The sentence that tells it."""
        named = {"role": _(self.role) if self.role else "", "name": self.name or self.key}
        if not self.is_there:
            return _("Not yet signed by the %(role)s, %(name)s.", **named)
        day = self.created[:10] if self.created else _("a day that is not stated")
        if self.role is None:
            return _("Signed on %(day)s with a key to which the record gives no role.", day=day) + self._pin
        return _("Signed on %(day)s by the %(role)s, %(name)s.", day=day, **named) + self._pin

    @property
    def _pin(self) -> str:
        if self.pinned is not None:
            return " " + _("The key is on your list as %(pinned)s.", pinned=self.pinned)
        if self.role in ROLES:
            return " " + _("The key is not on your list: that it is theirs is the issuer's word.")
        return " " + _("The key is not on your list.")

    def as_json(self) -> dict[str, Json]:
        """The members that scripts rely on."""
        return {
            "key": self.key,
            "name": self.name,
            "role": self.role,
            "is_there": self.is_there,
            "created": self.created,
            "pinned": self.pinned,
            "says": self.says,
        }


def member(signers: Iterable[Signer]) -> list[Json]:
    """The list as the record holds it."""
    return [{"id": one.did, "type": ["Profile"], "name": one.name, "role": one.role} for one in signers]


def check(issuer: str, signers: Sequence[Signer]) -> None:
    """Raise Refused for a list that no record may hold: too long, or one key in it twice, or the issuer's."""
    if len(signers) > MOST:
        raise Refused(_("A record is signed by at most %(most)s people beside its issuer.", most=MOST))
    if len({issuer, *(one.did for one in signers)}) <= len(signers):
        raise Refused(_("Each signer of a record has a key of their own, which is not the issuer's."))


def stated(document: dict[str, Json], issuer: str) -> tuple[Signer, ...]:
    """The further signers that a record names. Raises Unreadable for a list that is none."""
    if "signers" not in document:
        return ()
    try:
        if not isinstance(document["signers"], list):
            raise TypeError(document["signers"])
        found = tuple(
            Signer(_text(one["id"]), _text(one["name"]), _text(one["role"])) for one in document["signers"]
        )
        check(issuer, found)
    except (KeyError, TypeError, Refused, Unreadable):
        raise Unreadable(_("The record's list of those who are to sign it cannot be read.")) from None
    return found


def told(
    issuer: str,
    name: str | None,
    signers: Sequence[Signer],
    signed: Sequence[Signature],
    pins: Sequence[Issuer],
) -> tuple[Told, ...]:
    """Each signature of a record that holds, the issuer's first, then those that are to sign, then any other."""
    by_key = {one.signer: one for one in signed}
    named = {issuer: (name, ISSUER), **{one.did: (one.name, one.role) for one in signers}}
    found = []
    for key in dict.fromkeys((*named, *by_key)):
        whose, role = named.get(key, (None, None))
        pin = find(pins, key)
        there = by_key.get(key)
        made = there.created if there else None
        found.append(Told(key, whose, role, there is not None, made, pin.name if pin else None))
    return tuple(found)


def _text(value: Json) -> str:
    if not isinstance(value, str):
        raise TypeError(value)
    return value
