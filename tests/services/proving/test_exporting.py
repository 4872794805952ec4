"""Every form of export is what it says, is noted, and a signed one verifies until it is withdrawn."""

from __future__ import annotations

import io
import json
from datetime import date, timedelta
from pathlib import Path
from uuid import UUID, uuid5

import pytest
from pypdf import PdfReader
from python_calamine import CalamineWorkbook
from sqlalchemy import delete, select
from sqlalchemy.orm import Session

from tests.entering import verified
from tests.make import NOW, People, make_class, make_people, make_person
from tests.stores import unwatched
from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import reading_in
from trainer.qualification import read_history
from trainer.records.issuers import Issuer
from trainer.records.keys import SigningKey
from trainer.records.verification import Verdict, verify
from trainer.services.keeping import audit
from trainer.services.proving import exporting, ledger_check, withdrawals
from trainer.services.proving.exporting import Made
from trainer.services.qualifying import schemes, standing
from trainer.store.models import Link, Person, SignedHead

KEY = SigningKey(b"k" * 32)
ON = date(2026, 11, 25)
TRUSTED = (Issuer(KEY.did, "Tarn Valley"),)


@pytest.fixture
def four(session: Session) -> People:
    """The four, with one verified entry of Tess."""
    people = make_people(session)
    verified(session, people.tess, people.tess, "trainee", people.emma)
    return people


def make(session: Session, people: People, form: str, number: int = 1) -> Made:
    """One export of Tess's record by Emma."""
    known = schemes.known(Path("nowhere"))
    placed = standing.place(session, session.get_one(Person, people.tess), ON, known, "SNT-2016-A1", "I")
    fresh = f"urn:uuid:{uuid5(UUID(int=0), str(number))}"
    return exporting.export(session, placed, form, people.emma, KEY, fresh, NOW)


@pytest.mark.parametrize("form", exporting.FORMS)
def test_every_form_is_made_and_noted(session: Session, four: People, form: str) -> None:
    """Each form gives a file of its kind, and a note with its digest."""
    made = make(session, four, form)
    begins = {"certificate": b"%PDF-", "xlsx": b"PK", "calendar": b"BEGIN:VCALENDAR", "csv": b"\xef\xbb\xbf"}
    assert made.data.startswith(begins.get(form, b""))
    assert made.name.startswith("TV-07-")
    link = audit.recent(session, 1)[0]
    assert (link.event["what"], link.event["facts"]["form"]) == ("record exported", form)
    assert len(str(link.event["facts"]["digest"])) == 64
    assert ledger_check.walk(session).broken is None


@pytest.mark.parametrize("form", ["csv", "history", "activity"])
def test_what_programs_read_is_english_for_everybody(session: Session, four: People, form: str) -> None:
    """A Spanish reader gets the same bytes as an English one."""
    plain = make(session, four, form).data
    with reading_in("es"):
        assert make(session, four, form).data == plain


def test_what_is_signed_is_english_for_everybody(session: Session, four: People) -> None:
    """The record that a Spanish reader exports speaks English, and its page too."""
    with reading_in("es"):
        with exporting.in_the_language_of("credential"):
            made = make(session, four, "credential").data
        paper = make(session, four, "certificate", 2).data
    assert b"Prerequisites" in made
    assert "Good until" in "".join(page.extract_text() for page in PdfReader(io.BytesIO(paper)).pages)


def test_what_people_read_is_in_their_language(session: Session, four: People) -> None:
    """Columns, sheets, kinds, hands and verdicts of a workbook, and the events of a calendar, are Spanish."""
    with reading_in("es"):
        book = CalamineWorkbook.from_filelike(io.BytesIO(make(session, four, "xlsx").data))
        calendar = make(session, four, "calendar").data.decode()
    judged, ledger = (book.get_sheet_by_index(at).to_python() for at in (0, 1))
    assert book.sheet_names == ["Situación", "Libro de registro"]
    assert judged[0][:4] == ["Requisito previo", "Resultado", "Tiene", "Necesita"]
    assert ledger[0] == ["Asiento", "Tipo", "Día", "Datos", "Por quién", "Observación"]
    assert ledger[1][1] == "Experiencia"
    assert "horas 7.5" in ledger[1][3]
    assert "refrendado por" in ledger[1][4]
    assert "Vencimientos de TV-07" in calendar


def test_history_reads_back(session: Session, four: People) -> None:
    """The history in writing is read by the command that judges history files."""
    history = read_history(make(session, four, "history").data, "tess.yaml")
    assert (history.person, len(history.entries)) == ("TV-07", 1)


def test_everything_about_a_person(session: Session, four: People) -> None:
    """The data file holds particulars, entries and notes, and nothing that lets somebody in."""
    make_class(session, four.ian, four.tess)
    told = json.loads(make(session, four, "data").data)
    assert (told["person"]["works_number"], told["entries"][0]["body"]["hours"]) == ("TV-07", "7.5")
    assert told["classes"][0]["title"] == "MT-1 November"
    assert {"entry entered", "entry countersigned"} <= {note["event"]["what"] for note in told["notes"]}
    assert "hash" not in told["person"]
    assert "passphrase" not in json.dumps(told)


@pytest.mark.parametrize("form", exporting.SIGNED)
def test_a_signed_record_verifies(session: Session, four: People, form: str) -> None:
    """The record is valid for who pinned the key, of an unknown issuer for others, and carries the head."""
    made = make(session, four, form)
    assert verify(made.data, TRUSTED, ON).verdict is Verdict.VALID
    assert verify(made.data, (), ON).verdict is Verdict.UNKNOWN_ISSUER
    (row,) = exporting.exports_of(session, four.tess)
    document = json.loads(row.body)
    head = next(item["ledgerHead"] for item in document["evidence"] if "ledgerHead" in item)
    assert head["size"] == session.scalars(select(SignedHead)).one().seq + 1
    assert document["credentialSubject"]["overall"] == "not_met"
    assert "certified" not in document["description"].replace("is certified is decided", "")
    assert verify(exporting.again(session, row, NOW).data, TRUSTED, ON).verdict is Verdict.VALID


def test_withdrawn_records_are_told_by_the_status_list(session: Session, four: People) -> None:
    """Suspended, given back, revoked: each as the newest list says; another record is not touched."""
    first, second = make(session, four, "credential", 1), make(session, four, "credential", 2)
    rows = {row.credential: row.id for row in exporting.exports_of(session, four.tess)}
    target = rows[json.loads(first.data)["id"]]

    def verdicts() -> list[Verdict]:
        lists = withdrawals.status_lists(session, KEY, "Tarn Valley", NOW).data
        return [verify(made.data, TRUSTED, ON, lists).verdict for made in (first, second)]

    assert verdicts() == [Verdict.VALID, Verdict.VALID]
    withdrawals.withdraw(session, four.emma, target, "being looked into", NOW, for_good=False)
    assert verdicts() == [Verdict.SUSPENDED, Verdict.VALID]
    withdrawals.give_back(session, four.emma, target, NOW)
    assert verdicts() == [Verdict.VALID, Verdict.VALID]
    withdrawals.withdraw(session, four.emma, target, "made in error", NOW, for_good=True)
    assert verdicts() == [Verdict.REVOKED, Verdict.VALID]
    for act in (
        lambda: withdrawals.withdraw(session, four.emma, target, "again", NOW, for_good=True),
        lambda: withdrawals.give_back(session, four.emma, target, NOW),
    ):
        with pytest.raises(Conflict):
            act()


def test_withdrawing_needs_a_reason_and_the_own_house(session: Session, four: People) -> None:
    """No reason, no withdrawal; another house finds no such record."""
    make(session, four, "credential")
    (row,) = exporting.exports_of(session, four.tess)
    boss = make_person(session, "HK-90", "Another employer", {"employer"}, house="Hook and Chain Works").id
    with pytest.raises(Refused):
        withdrawals.withdraw(session, four.emma, row.id, " ", NOW, for_good=True)
    for wrong in (row.id, 999_999):
        with pytest.raises(NotFound):
            withdrawals.withdraw(session, boss, wrong, "mine", NOW, for_good=True)


def test_a_cut_off_chain_is_found_by_the_signed_head(session: Session, four: People) -> None:
    """After an export the end of the chain can no longer be cut off unseen."""
    make(session, four, "credential")
    session.flush()
    last = session.scalars(select(Link).order_by(Link.seq.desc())).all()
    unwatched(session)
    session.execute(delete(Link).where(Link.seq.in_([last[0].seq, last[1].seq])))
    session.expire_all()
    walk = ledger_check.walk(session)
    assert walk.broken is not None


def test_a_calendar_tells_what_runs_out(session: Session, four: People) -> None:
    """The last good day of near vision stands in the calendar file."""
    verified(session, four.tess, four.tess, "trainee", four.emma, "vision")
    assert b"20271110" in make(session, four, "calendar").data
    assert (ON + timedelta(days=350)).isoformat() == "2027-11-10"


def test_no_such_form(session: Session, four: People) -> None:
    """Another form is not found."""
    with pytest.raises(NotFound):
        make(session, four, "parchment")


def test_a_certificate_at_any_moment(session: Session, four: People) -> None:
    """A real clock has microseconds; the PDF states whole seconds."""
    known = schemes.known(Path("nowhere"))
    placed = standing.place(session, session.get_one(Person, four.tess), ON, known)
    moment = NOW.replace(microsecond=123_456)
    fresh = f"urn:uuid:{uuid5(UUID(int=0), 'microseconds')}"
    made = exporting.export(session, placed, "certificate", four.emma, KEY, fresh, moment)
    assert verify(made.data, TRUSTED, ON).verdict is Verdict.VALID
