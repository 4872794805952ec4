"""Where an erased person is still named: found without keeping the name, in the own house only, no text forgotten."""

from __future__ import annotations

from datetime import timedelta

import pytest
from sqlalchemy import JSON, String, update
from sqlalchemy.orm import Session

from tests.entering import entered, make_level_iii
from tests.make import NOW, People, make_class, make_people, make_person
from trainer.errors import NotFound
from trainer.services.admitting import accounts
from trainer.services.keeping import audit
from trainer.services.overseeing import erasing, mentions
from trainer.services.proving import ledger_check
from trainer.store.models import Erasure, Link, Model, Person

LATER = NOW + timedelta(days=3700)
# Texts that no person writes about another: facts of the program, names of things, secrets, a person's own answers.
OF_NO_PERSON = {
    "answer.scratch", "answer.slip", "answer.text", "class_question.drill_id", "draft_revision.place",
    "drill_set_line.drill_id", "edition.content", "edition.drill_id", "exercise.drill_id", "exercise.family",
    "exercise.reason", "exercise.snapshot", "export.credential", "job_answer.slip", "job_answer.text",
    "job_sheet.job_id", "job_sheet.snapshot", "lesson.drill_id", "lesson.slip", "link.event", "organisation.name",
    "panel.plan_id", "panel_sheet.ratings", "paper.score", "paper_answer.exercise", "paper_answer.text",
    "person.email", "person.name", "person.passphrase_hash", "personal_key.did", "personal_key.wrapped",
    "pinned_issuer.did", "pinned_issuer.introduced_by", "practical_mark.point", "practical_sheet.checklist_id",
    "practical_sheet.score", "printed_paper.items", "printed_sheet.items", "question_sheet.question_id",
    "question_sheet.reason", "question_sheet.snapshot", "question_sheet.topic", "record_signer.did",
    "record_signer.proof", "seal.wrapped", "sealed_edition.sealed", "sign_in_session.browser",
    "sign_in_session.came_from", "signed_head.key", "signed_head.signature", "sitting.plan", "skill_state.data",
    "skill_state.family", "typed_marks.marks", "erasure.places", "sitting.tally", "paper_answer.slip",
    "own_seal.wrapped", "draft_revision.sealed",  # what is sealed nobody can search
}  # fmt: skip


@pytest.fixture
def four(session: Session) -> People:
    """The four; Tess has another name, and has left."""
    people = make_people(session)
    session.get_one(Person, people.tess).name = "Tess Łukasz Fell"
    session.flush()
    return people


def erased(session: Session, four: People) -> list[tuple[str, str]]:
    """Erase Tess by two people; the places that are told afterwards, without their texts."""
    accounts.set_left(session, four.emma, four.tess, True, NOW)
    erasing.ask(session, four.emma, four.tess, "asked by letter", 10, LATER)
    expert = make_level_iii(session)
    erasing.erase(session, expert, four.tess, LATER)
    session.flush()
    return [(one.where, one.key) for one in erasing.places_of(session, expert, four.tess)]


def test_no_text_is_forgotten() -> None:
    """A column in which people may write is searched, or stands in the list of those in which nobody does."""
    texts = {
        f"{table.name}.{column.name}"
        for table in Model.metadata.tables.values()
        for column in table.columns
        if isinstance(column.type, JSON)
        or (isinstance(column.type, String) and (column.type.length or 999) >= 200)
    }
    assert texts == mentions.SEARCHED.keys() | OF_NO_PERSON
    assert not mentions.SEARCHED.keys() & OF_NO_PERSON


def test_every_searched_table_belongs_to_a_house(session: Session, four: People) -> None:
    """Each table leads to its house, so that no other house's text is told."""
    for where in mentions.SEARCHED:
        table, _column = mentions._column(where)
        assert "organisation_id" in str(mentions._of_house(table, 1)), where


def test_where_the_name_stands(session: Session, four: People) -> None:
    """By full name, part of it, works number, in any case and inside JSON; own rows and other words are not told."""
    by_name = entered(session, four.ian, four.emma, "employer", note="shown by Tess Łukasz Fell").id
    by_number = entered(session, four.ian, four.emma, "employer", note="together with tv-07").id
    by_part = entered(session, four.ian, four.emma, "employer", note="with ŁUKASZ at the bench").id
    entered(session, four.ian, four.emma, "employer", note="a fellow inspector, TV-071")
    entered(session, four.tess, four.tess, "trainee", note="Tess Fell herself")
    title = make_class(session, four.ian, title="Fell and others").id
    places = erased(session, four)
    assert {("entry.body", one) for one in (by_name, by_number, by_part)} <= set(places)
    assert ("taught_class.title", str(title)) in places
    assert len([one for one in places if one[0] != mentions.NOTE]) == 4


def test_the_name_itself_is_not_kept(session: Session, four: People) -> None:
    """The row of the erasure holds places only; the text is read where it stands, and cut."""
    entry = entered(session, four.ian, four.emma, "employer", note="Fell " + "x" * 400).id
    erased(session, four)
    row = session.get_one(Erasure, 1)
    assert "Fell" not in str(row.places)
    (mention,) = [one for one in mentions.shown(session, row.places or []) if one.key == entry]
    assert max(len(text) for text in mention.says) == mentions.MOST_SHOWN
    assert any(text.startswith("Fell") for text in mention.says)


def test_another_house_is_not_searched_and_learns_nothing(session: Session, four: People) -> None:
    """What another house wrote is theirs; its people find no such page."""
    boss = make_person(session, "HK-90", "Boss", {"employer"}, house="Hook and Chain Works").id
    entered(session, four.omar, boss, "employer", note="Tess Łukasz Fell came over")
    assert [one for one in erased(session, four) if one[0] == "entry.body"] == []
    with pytest.raises(NotFound):
        erasing.places_of(session, boss, four.tess)
    with pytest.raises(NotFound):
        erasing.places_of(session, four.emma, four.ian)


def test_links_of_earlier_releases_are_told(session: Session, four: People) -> None:
    """A link that holds the person's address or a reason about them in clear, and any that names them."""
    at = audit.note(session, four.tess, "signed in", four.tess, NOW).seq
    reason = audit.note(
        session,
        four.emma,
        "record revoked",
        "urn:x",
        NOW,
        facts={"person": four.tess, "reason": "made in error"},
    ).seq
    named = audit.note(session, four.emma, "issuer pinned", "did:x", NOW, facts={"name": "key of Fell"}).seq
    other = audit.note(
        session, four.emma, "issuer pinned", "did:y", NOW, facts={"name": "key of Beck", "reason": "told"}
    ).seq
    event = session.get_one(Link, at).event
    session.execute(update(Link).where(Link.seq == at).values(event={**event, "where": "192.0.2.7"}))
    session.expire_all()
    told = [int(key) for where, key in erased(session, four) if where == mentions.NOTE]
    assert {at, reason, named} <= set(told)
    assert other not in told


def test_nothing_is_told_where_nothing_is(session: Session, four: People) -> None:
    """Who is named nowhere has an empty list, and the chain holds as before."""
    assert erased(session, four) == []
    assert ledger_check.walk(session).broken is None


def test_a_place_that_was_changed_or_has_gone(session: Session, four: People) -> None:
    """It is shown as it stands now, or not any more."""
    made = make_class(session, four.ian, title="Fell and others")
    gone = make_class(session, four.ian, title="Fell again")
    erased(session, four)
    made.title = "MT-1 and others"
    session.delete(gone)
    session.flush()
    row = session.get_one(Erasure, 1)
    assert [one.says for one in mentions.shown(session, row.places or [])] == [("MT-1 and others",)]
