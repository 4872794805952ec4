"""Records that leave the house: signed ones first, then tables, calendar, history. Each export is noted.

A signed record carries the head of the chain and a place in the house's status lists, by which it can be
withdrawn later. The key and every moment and fresh id are arguments.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from contextlib import AbstractContextManager, nullcontext
from dataclasses import dataclass
from datetime import datetime
from hashlib import sha256

from sqlalchemy import func, select
from sqlalchemy.orm import Session

from trainer.errors import NotFound
from trainer.languages import N_, WRITTEN_IN, _, reading_in
from trainer.records import calendar as calendars
from trainer.records import chain, credential
from trainer.records.keys import SigningKey
from trainer.services.admitting import accounts
from trainer.services.keeping import audit
from trainer.services.overseeing import personal_data
from trainer.services.proving import activity, record_signers, records
from trainer.services.proving.record_signers import Offer
from trainer.services.proving.records import time_text
from trainer.services.qualifying import entry_words, histories, standing
from trainer.services.qualifying.entry_words import KIND_WORDS
from trainer.services.qualifying.standing import Placed
from trainer.store.models import Export, Person, SignedHead

JSON, _CSV = "application/json", "text/csv; charset=utf-8"
_XLSX = "application/vnd.openxmlformats-officedocument.spreadsheetml.sheet"
# Of each form: what it is, the end of the file's name, its media type.
FORMS: dict[str, tuple[str, str, str]] = {
    "credential": (N_("Signed record (JSON)"), "record.json", JSON),
    "certificate": (
        N_("Certificate of record (PDF, the signed record inside)"),
        "record.pdf",
        "application/pdf",
    ),
    "csv": (N_("Ledger as a table (CSV)"), "ledger.csv", _CSV),
    "xlsx": (N_("Ledger and standing as a workbook (XLSX)"), "record.xlsx", _XLSX),
    "calendar": (N_("Due dates for a calendar (iCalendar)"), "due.ics", "text/calendar; charset=utf-8"),
    "history": (N_("Ledger in writing (YAML)"), "history.yaml", "application/yaml"),
    "activity": (N_("Practice and examinations as activity statements (xAPI)"), "activity.json", JSON),
    "data": (N_("Everything that is kept about the person (JSON)"), "data.json", JSON),
}
SIGNED = ("credential", "certificate")
FOR_PEOPLE = ("xlsx", "calendar")
"""The rule for every file that leaves the house: what a person opens and reads is in the reader's language, its
columns and words alike. What is signed, or is read by another program or by our own import, stays English, so that
its names are stable; an import of ours takes the names of its columns in every language (`services.columns`)."""
SAYS_OVERALL = {
    "met": N_("Prerequisites all met by %(by)s."),
    "not_met": N_("Prerequisites not all met by %(by)s."),
    "expired": N_("Prerequisites not all met, some ran out by %(by)s."),
}


@dataclass(frozen=True, slots=True)
class Made:
    """One exported file."""

    name: str
    media_type: str
    data: bytes


def export(
    session: Session,
    placed: Placed,
    form: str,
    by_id: int,
    key: SigningKey,
    record_id: str,
    now: datetime,
    named: Sequence[Offer] = (),
) -> Made:
    """Write the record of a person, judged as ``placed``, in a form of FORMS, and note it in the chain.

    ``record_id`` is a fresh urn:uuid; a signed record names those of ``named`` as its further signers. Who may do
    it is for the caller. ``placed`` is to be judged inside ``in_the_language_of(form)``. Raises NotFound for another
    form.
    """
    if form not in FORMS:
        raise NotFound(_("There is no such form of export. Choose one of those offered."))
    _title, end, media_type = FORMS[form]
    with in_the_language_of(form):
        if form in SIGNED:
            data = _signed(session, placed, form, by_id, key, record_id, now, named)
        else:
            data = _unsigned(session, placed, form, key.did, now)
    if form == "certificate":  # drawn from what was signed, its labels in the reader's language
        from trainer.records import certificate

        data = certificate.pdf(data, now)
    if form not in SIGNED:
        facts: dict[str, str | int | None] = {"form": form, "digest": sha256(data).hexdigest()}
        audit.note(session, by_id, "record exported", placed.person.id, now, facts=facts)
    number = "".join(sign if sign.isalnum() else "-" for sign in placed.person.works_number)
    return Made(f"{number}-{end}", media_type, data)


def in_the_language_of(form: str) -> AbstractContextManager[None]:
    """What is said inside is in the language that a file of this form has."""
    return nullcontext() if form in FOR_PEOPLE else reading_in(WRITTEN_IN)


def exports_of(session: Session, person_id: int) -> list[Export]:
    """The signed records about a person that left the house, newest first."""
    wanted = select(Export).where(Export.person_id == person_id)
    return list(session.scalars(wanted.order_by(Export.id.desc())))


def verdict_kept(row: Export) -> str:
    """The verdict of a signed record in one sentence, as it was then: it is read, never judged anew."""
    subject = json.loads(row.body)["credentialSubject"]
    told = {"scheme": subject["scheme"], "role": subject["role"], "on": subject["on"]}
    practice = subject["achievement"]["version"]
    if practice == subject["scheme"]:
        by = _("%(scheme)s, %(role)s, for %(on)s", **told)
    else:
        by = _(
            "%(scheme)s, %(role)s, for %(on)s, under the written practice, %(practice)s",
            **told,
            practice=practice,
        )
    return _(SAYS_OVERALL[subject["overall"]], by=by)


def own_export(session: Session, by_id: int, export_id: int) -> Export:
    """A signed record about a colleague. Raises NotFound for another house's."""
    found = session.get(Export, export_id)
    if found is None:
        raise NotFound(_("There is no such record."))
    accounts.colleague(session, by_id, found.person_id)
    return found


def again(session: Session, row: Export, now: datetime) -> Made:
    """The file of an earlier export: the same record, with every signature that came since."""
    person = session.get_one(Person, row.person_id)
    _title, end, media_type = FORMS[row.kind]
    data = record_signers.file_of(session, row)
    if row.kind == "certificate":
        from trainer.records import certificate

        data = certificate.pdf(data, row.made_at)
    number = "".join(sign if sign.isalnum() else "-" for sign in person.works_number)
    return Made(f"{number}-{end}", media_type, data)


def calendar_of(placed: list[Placed], now: datetime, name: str) -> bytes:
    """The due dates of people as one calendar file."""
    dues = [
        calendars.Due(
            due.person.works_number,
            f"{due.person.works_number} {due.person.name}",
            due.row.id,
            standing.title(due.row.id),
            due.until,
            due.scheme.id,
            due.row.says,
        )
        for one in placed
        for due in one.dues
    ]
    return calendars.calendar_bytes(dues, now, name)


def _unsigned(session: Session, placed: Placed, form: str, did: str, now: datetime) -> bytes:
    from trainer.qualification.reading.writing import entry_as_data
    from trainer.records import table

    entries: list[Mapping[str, object]] = [entry_as_data(entry) for entry in placed.history.entries]
    if form == "csv":
        return table.csv_bytes(table.ledger_table(entries))
    if form == "xlsx":
        judged = table.standing_table(records.rows(placed.standing))
        ledger = table.ledger_table(entries, lambda kind: _(KIND_WORDS[kind]), entry_words.line)
        return table.xlsx_bytes([judged, ledger], now)
    if form == "calendar":
        return calendar_of([placed], now, _("Due dates of %(number)s", number=placed.person.works_number))
    if form == "history":
        return histories.history_text(session, placed.person.id).encode("utf-8")
    if form == "activity":
        return activity.statements(session, placed.person, did)
    return personal_data.everything(session, placed.person.id, now)


def _signed(
    session: Session,
    placed: Placed,
    form: str,
    by_id: int,
    key: SigningKey,
    record_id: str,
    now: datetime,
    named: Sequence[Offer],
) -> bytes:
    head = keep_head(session, key, now)
    last = session.scalar(select(func.max(Export.status_index)))
    index = 0 if last is None else last + 1
    name = placed.person.organisation.name
    made = credential.signed(
        records.record_of(placed, key.did, name, record_id, head, index, [one.signer for one in named]),
        key,
        time_text(now),
    )
    digest = sha256(made).hexdigest()
    row = Export(
        person_id=placed.person.id,
        kind=form,
        credential=record_id,
        status_index=index,
        digest=digest,
        body=made.decode("utf-8"),
        made_by_id=by_id,
        made_at=now,
    )
    session.add(row)
    session.flush()  # its number is needed for those who are to sign it
    record_signers.expect(session, row, named)
    facts: dict[str, str | int | None] = {"form": form, "digest": digest, "credential": record_id}
    audit.note(session, by_id, "record exported", placed.person.id, now, facts=facts)
    return made


def keep_head(session: Session, key: SigningKey, now: datetime) -> chain.Head:
    """Take the head of the chain, sign it and keep it, so that its end can no longer be cut off unseen."""
    head = chain.head_of(list(audit.links(session)), audit.moment(now))
    signature = chain.signed_head(head, key)["proof"]["proofValue"]
    if head.size:
        session.add(
            SignedHead(
                seq=head.size - 1,
                hash=head.last,
                root=head.root,
                key=key.did,
                signature=signature,
                signed_at=now,
            )
        )
    return head
