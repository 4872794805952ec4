"""One person's record as the records room signs it: the standing on a day and the entries it rests on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime
from decimal import ROUND_DOWN, Decimal
from fractions import Fraction
from uuid import NAMESPACE_URL, uuid5

from trainer.qualification import Row as Judged
from trainer.qualification import Standing
from trainer.qualification.reading.writing import entry_as_data
from trainer.records.chain import Head
from trainer.records.record import Person as Subject
from trainer.records.record import Record, Row, good_until
from trainer.records.signers import Signer
from trainer.records.statuslist import PURPOSES, StatusPlace
from trainer.services.qualifying import standing as standings
from trainer.services.qualifying.standing import Placed

PLACES = Decimal("0.001")


def record_of(
    placed: Placed,
    issuer_did: str,
    issuer_name: str,
    record_id: str,
    head: Head,
    status_index: int,
    signers: Sequence[Signer] = (),
) -> Record:
    """The record of a person as judged; ``record_id`` is a fresh urn:uuid."""
    judged = placed.standing
    shown = tuple(rows(judged))
    return Record(
        id=record_id,
        person=Subject(placed.person.works_number, placed.person.name),
        issuer_did=issuer_did,
        issuer_name=issuer_name,
        on=judged.on,
        scheme=judged.scheme.id,
        scheme_title=f"{judged.scheme.document} {judged.scheme.edition}",
        level=str(judged.level),
        overall=str(judged.overall),
        rows=shown,
        entries=tuple(entry_as_data(entry) for entry in placed.history.entries),
        written_practice=judged.scheme.practice,
        valid_until=good_until(shown, judged.on),
        status=tuple(
            StatusPlace(list_id(issuer_did, purpose), purpose, status_index) for purpose in PURPOSES
        ),
        head=head,
        signers=tuple(signers),
    )


def rows(judged: Standing) -> list[Row]:
    """The prerequisites in the form that records and tables hold."""
    return [_row(row) for row in judged.prerequisites]


def list_id(did: str, purpose: str) -> str:
    """The name of the status list of an issuer, the same in every export."""
    return f"urn:uuid:{uuid5(NAMESPACE_URL, f'{did}#{purpose}')}"


def time_text(now: datetime) -> str:
    """A moment as signed files state it."""
    return now.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def exact(value: Fraction | None) -> Decimal | None:
    """A number as a decimal: exact where it ends, else cut (never rounded up to a limit) after three places."""
    if value is None:
        return None
    number = Decimal(value.numerator) / Decimal(value.denominator)
    return number if Fraction(number) == value else number.quantize(PLACES, ROUND_DOWN)


def _row(row: Judged) -> Row:
    return Row(
        id=row.id,
        title=standings.title(row.id),
        verdict=str(row.verdict),
        have=exact(row.have),
        need=exact(row.need),
        unit=row.unit,
        until=row.until,
        clause=row.clause,
        says=row.says,
    )
