"""Everything about a person is handed out: no table that names people is forgotten."""

from __future__ import annotations

import json

import pytest
from sqlalchemy.orm import Session

from tests.entering import verified
from tests.files import PDF
from tests.make import NOW, make_people
from trainer.services.overseeing import personal_data
from trainer.services.qualifying import evidence
from trainer.store.models import Model

# Tables about a person, by the name under which everything() hands their rows out.
HANDED_OUT = {
    "entry": "entries",
    "class_member": "classes",
    "attendance": "attendance",
    "answer": "answers",
    "exercise": "exercises",
    "assignment": "sets_given",
    "skill_state": "skills",
    "job_sheet": "jobs",
    "job_answer": "job_answers",
    "paper": "papers",
    "class_place": "asked_in_class",
    "habit": "habits",
    "lesson": "lessons",
    "practical_sheet": "practicals",
    "printed_sheet": "printed_sheets",
    "question_answer": "question_answers",
    "question_sheet": "questions",
    "aside": "told_in_notes",
    "entry_reading": "entries_read",
    "export": "signed_records",
    "sign_in_session": "sign_ins",
    "personal_key": "signing_keys",
    "record_signer": "signatures_on_records",
}
# Tables that name a person otherwise: the roles and the hand stand in other parts, a code lets somebody in.
ELSEWHERE = {
    "person_role",
    "countersignature",
    "join_code",
    "practice_decision",
    "erasure",
    "practical_examiner",
}


def test_no_table_about_people_is_forgotten() -> None:
    """Every table with a column person_id is handed out, or stands in the short list of those that are not."""
    about = {name for name, table in Model.metadata.tables.items() if "person_id" in table.columns}
    assert about == HANDED_OUT.keys() | ELSEWHERE


def test_every_part_is_there_and_holds_the_persons_rows(session: Session) -> None:
    """The file has each part; entry, file and signature of Tess are in it, nothing of Omar, no bytes."""
    four = make_people(session)
    row = verified(session, four.tess, four.tess, "trainee", four.emma)
    verified(session, four.omar, four.omar, "trainee", _boss(session), note="of Omar")
    evidence.attach(session, row.id, four.tess, "scan.pdf", PDF, NOW)
    told = json.loads(personal_data.everything(session, four.tess, NOW))
    assert told.keys() >= set(HANDED_OUT.values())
    assert told["entries"][0]["countersignatures"][0]["role"] == "employer"
    assert told["evidence_files"][0]["name"] == "scan.pdf"
    assert ("content" in told["evidence_files"][0], "of Omar" in json.dumps(told)) == (False, False)


def _boss(session: Session) -> int:
    from tests.make import make_person

    return make_person(session, "HK-90", "Other", {"employer"}, house="Hook and Chain Works").id


@pytest.mark.parametrize("secret", ["passphrase_hash", "token_hash", "code_hash"])
def test_nothing_that_lets_somebody_in(session: Session, secret: str) -> None:
    """Hashes of passphrases, sign-ins and codes are left out."""
    four = make_people(session)
    assert secret not in personal_data.everything(session, four.tess, NOW).decode()
