"""What the status lists that came with a record say about it."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from trainer.errors import Refused, Unreadable
from trainer.languages import N_, _
from trainer.records import jcs, proof, statuslist
from trainer.records.issuers import Issuer, find, speaks_for
from trainer.records.jcs import Json
from trainer.records.times import day_of

MAX_LISTS = 8
PURPOSE_WORDS = {"revocation": N_("revocation"), "suspension": N_("suspension")}
_INDEX = re.compile(r"0|[1-9][0-9]{0,9}")


@dataclass(frozen=True, slots=True)
class StatusRead:
    """What the lists say: the day of the list that withdrew the record, the day of the oldest list, remarks."""

    revoked: date | None
    suspended: date | None
    as_of: date | None
    remarks: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _StatusList:
    list_id: str
    purpose: str
    bits: bytes
    as_of: date
    renew_by: date | None


def read(places: Json, data: bytes | None, issuer: str, issuers: Sequence[Issuer], on: date) -> StatusRead:
    """Look the record's places up in the lists of ``data`` (one signed list, or several in a JSON array).

    ``places`` is the record's credentialStatus member or None. A list counts only if the record's issuer signed
    it, or a pinned key that this issuer introduced. Raises NotGenuine for an altered list, Refused for one by
    somebody else, Unreadable for one that is no list, or not this record's.
    """
    entries = [_entry(place) for place in _listed(places)]
    if data is None:
        return StatusRead(None, None, None, (_unasked(bool(entries)),))
    lists = _lists(data, issuer, issuers)
    if not entries:
        raise Unreadable(
            _("a list was given, but the record names none; check that the two belong together.")
        )
    return _looked_up(entries, lists, on)


def _looked_up(
    entries: list[tuple[str, str, int]], lists: dict[tuple[str, str], _StatusList], on: date
) -> StatusRead:
    set_on: dict[str, date] = {}
    used: list[_StatusList] = []
    remarks: list[str] = []
    for list_id, purpose, index in entries:
        found = lists.get((list_id, purpose))
        if found is None:
            remarks.append(
                _(
                    "No list was given that tells a %(purpose)s of this record.",
                    purpose=_(PURPOSE_WORDS.get(purpose, purpose)),
                )
            )
            continue
        used.append(found)
        if statuslist.is_set(found.bits, index):
            set_on[purpose] = found.as_of
    if not used:
        raise Unreadable(_("it is not the list that this record names; ask the issuer for the right one."))
    as_of = min(one.as_of for one in used)
    remarks.append(
        _("Status as of %(as_of)s; a later withdrawal cannot be seen offline.", as_of=as_of.isoformat())
    )
    if any(one.renew_by and one.renew_by < on for one in used):
        remarks.append(_("The status list was due to be renewed; ask the issuer for a newer one."))
    return StatusRead(set_on.get("revocation"), set_on.get("suspension"), as_of, tuple(remarks))


def _lists(data: bytes, issuer: str, issuers: Sequence[Issuer]) -> dict[tuple[str, str], _StatusList]:
    documents = _listed(jcs.parse(data))
    if not 1 <= len(documents) <= MAX_LISTS:
        raise Unreadable(_("the file must hold 1 to %(most)s status lists.", most=MAX_LISTS))
    lists: dict[tuple[str, str], _StatusList] = {}
    for document in documents:
        one = _list(document)
        _check_signers(document, one, issuer, issuers)
        if (one.list_id, one.purpose) in lists:
            raise Unreadable(_("the same list stands in the file twice; keep the newest."))
        lists[one.list_id, one.purpose] = one
    return lists


def _list(document: Json) -> _StatusList:
    try:
        if "BitstringStatusListCredential" not in document["type"]:
            raise KeyError("type")
        subject = document["credentialSubject"]
        list_id, purpose, encoded = document["id"], subject["statusPurpose"], subject["encodedList"]
    except (KeyError, TypeError):
        raise Unreadable(
            _("the file is not a status list; give the one that came with the record.")
        ) from None
    if not (isinstance(list_id, str) and isinstance(encoded, str) and purpose in statuslist.PURPOSES):
        raise Unreadable(_("the list lacks its id, its purpose or its contents."))
    renew_by = day_of(document["validUntil"], "validUntil") if "validUntil" in document else None
    as_of = day_of(document.get("validFrom"), "validFrom")
    return _StatusList(list_id, purpose, statuslist.expand(encoded), as_of, renew_by)


def _check_signers(
    document: dict[str, Json], one: _StatusList, issuer: str, issuers: Sequence[Issuer]
) -> None:
    stated = document.get("issuer")
    named = stated.get("id") if isinstance(stated, dict) else stated
    for signature in proof.signatures(document):
        if signature.signer != named:
            raise Refused(_("the list was not signed by the issuer that it names."))
        pinned = find(issuers, signature.signer)
        if pinned is None or not speaks_for(issuers, signature.signer, issuer):
            raise Refused(
                _("the list comes from another issuer than the record, so it says nothing about it.")
            )
        if not pinned.was_in_use(one.as_of):
            raise Refused(
                _(
                    "the list was signed on %(as_of)s, when its key was not in use.",
                    as_of=one.as_of.isoformat(),
                )
            )


def _entry(place: Json) -> tuple[str, str, int]:
    try:
        list_id, purpose, index = (
            place["statusListCredential"],
            place["statusPurpose"],
            place["statusListIndex"],
        )
    except (KeyError, TypeError):
        raise Unreadable(
            _("the record's status cannot be read; it is of a kind that is not known here.")
        ) from None
    if not all(isinstance(one, str) for one in (list_id, purpose, index)) or not _INDEX.fullmatch(index):
        raise Unreadable(
            _("the record's status cannot be read; its index must be a whole number in quotation marks.")
        )
    return list_id, purpose, int(index)


def _listed(value: Json) -> list[Json]:
    if value is None:
        return []
    return value if isinstance(value, list) else [value]


def _unasked(named: bool) -> str:
    if named:
        return _("No status list was given, so a withdrawal of this record cannot be seen.")
    return _("The record names no status list, so a withdrawal could not be seen.")
