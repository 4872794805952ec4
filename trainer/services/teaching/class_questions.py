"""One question put to a whole class: everybody gets it with numbers of their own, and what came of it is shown
when the instructor says so. Until then nobody sees a verdict."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.drills.exercise import Exercise as Drawn
from trainer.drills.shelf import Shelf
from trainer.drills.verdict import Verdict
from trainer.errors import Conflict, NotFound
from trainer.languages import _
from trainer.practice import reasons
from trainer.services.keeping import audit
from trainer.services.practising import practice
from trainer.services.teaching import classes
from trainer.store.models import ClassMember, ClassPlace, ClassQuestion, Person, TaughtClass


@dataclass(frozen=True, slots=True)
class Given:
    """What one person answered in time: their exercise and its judgement."""

    person: Person
    drawn: Drawn
    text: str
    verdict: Verdict


@dataclass(frozen=True, slots=True)
class Outcome:
    """A question to a class with everything answered so far, before it was shown."""

    question: ClassQuestion
    members: tuple[Person, ...]
    begun: int
    given: tuple[Given, ...]

    @property
    def missing(self) -> list[Person]:
        """Members who have not answered."""
        there = {one.person.id for one in self.given}
        return [person for person in self.members if person.id not in there]


def ask(
    session: Session, shelf: Shelf, instructor_id: int, class_id: int, drill_id: str, find: str | None,
    now: datetime,
) -> ClassQuestion:  # fmt: skip
    """Put a drill's unknown (the first, if none is named) to an own class; one that was open ends.

    Raises NotFound for another's class or an unknown drill or find, Conflict for a class that is closed.
    """
    if classes.own_class(session, instructor_id, class_id).closed_at is not None:
        raise Conflict(_("This class is closed. Open it again before you ask it something."))
    drill = shelf.bank.drill(drill_id).drill
    if find is not None and find not in drill.finds:
        raise NotFound(_("This drill does not ask for that."))
    before = open_in(session, class_id)
    if before is not None:
        end(session, instructor_id, before.id, now)
    made = ClassQuestion(
        class_id=class_id, asked_by_id=instructor_id, drill_id=drill_id, find=find or next(iter(drill.finds)),
        asked_at=now, shown_at=None, ended_at=None,
    )  # fmt: skip
    session.add(made)
    session.flush()
    audit.note(session, instructor_id, "class asked", made.id, now)
    return made


def own(session: Session, instructor_id: int, question_id: int) -> ClassQuestion:
    """A question to a class of this instructor. Raises NotFound for anybody else's."""
    found = session.get(ClassQuestion, question_id)
    if found is None:
        raise NotFound(_("There is no such question."))
    classes.own_class(session, instructor_id, found.class_id)
    return found


def open_in(session: Session, class_id: int) -> ClassQuestion | None:
    """The question that a class has before it, if any."""
    return session.scalars(
        select(ClassQuestion)
        .where(ClassQuestion.class_id == class_id, ClassQuestion.ended_at.is_(None))
        .order_by(ClassQuestion.id.desc())
    ).first()


def asked_in(session: Session, instructor_id: int, class_id: int) -> Sequence[ClassQuestion]:
    """What an own class was asked, newest first."""
    classes.own_class(session, instructor_id, class_id)
    wanted = select(ClassQuestion).where(ClassQuestion.class_id == class_id)
    return session.scalars(wanted.order_by(ClassQuestion.id.desc())).all()


def show(session: Session, instructor_id: int, question_id: int, now: datetime) -> None:
    """Show the outcome to everybody; later answers are marked at once and no longer in it."""
    found = own(session, instructor_id, question_id)
    if found.shown_at is None:
        found.shown_at = now
        audit.note(session, instructor_id, "class question shown", question_id, now)


def end(session: Session, instructor_id: int, question_id: int, now: datetime) -> None:
    """End a question: it leaves the pages of the class, and nothing of it is withheld any more."""
    found = own(session, instructor_id, question_id)
    if found.ended_at is None:
        found.ended_at = now
        found.shown_at = found.shown_at or now
        audit.note(session, instructor_id, "class question ended", question_id, now)


def outcome(session: Session, shelf: Shelf, instructor_id: int, question_id: int, decimal: str) -> Outcome:
    """What the members of the class answered before it was shown. Raises NotFound."""
    found = own(session, instructor_id, question_id)
    members = classes.members(session, instructor_id, found.class_id)
    given = []
    for place in found.places:
        answer = place.exercise.answer
        if answer is None or (found.shown_at is not None and answer.answered_at > found.shown_at):
            continue
        it = practice.shown(session, shelf, place.person_id, place.exercise_id)
        person = session.get_one(Person, place.person_id)
        given.append(Given(person, it.drawn, answer.text, practice.judged(it, decimal)))
    return Outcome(found, tuple(members), len(found.places), tuple(given))


def waiting_for(session: Session, person_id: int) -> list[tuple[ClassQuestion, str]]:
    """The open questions of a person's classes that they have not answered, each with the name of who asks."""
    wanted = (
        select(ClassQuestion, Person.name)
        .join(TaughtClass, TaughtClass.id == ClassQuestion.class_id)
        .join(ClassMember, ClassMember.class_id == TaughtClass.id)
        .join(Person, Person.id == ClassQuestion.asked_by_id)
        .where(
            ClassMember.person_id == person_id, ClassMember.left_at.is_(None),
            TaughtClass.closed_at.is_(None), ClassQuestion.ended_at.is_(None),
        )
        .order_by(ClassQuestion.id.desc())
    )  # fmt: skip
    return [(q, name) for q, name in session.execute(wanted) if not _answered(session, q.id, person_id)]


def take_up(
    session: Session, shelf: Shelf, person_id: int, question_id: int, seed: int, now: datetime
) -> int:
    """Give a member of the class their exercise, the same one when asked again; return its number.

    Raises NotFound for a question to another class and Conflict for one that has ended.
    """
    found = session.get(ClassQuestion, question_id)
    if found is None or session.get(ClassMember, (found.class_id, person_id)) is None:
        raise NotFound(_("There is no such question."))
    place = session.get(ClassPlace, (question_id, person_id))
    if place is not None:
        return place.exercise_id
    if found.ended_at is not None:
        raise Conflict(_("This question to the class is over. Go on with your own practice."))
    drawn = shelf.draw(found.drill_id, seed, found.find)
    kept = practice.keep(session, shelf, person_id, drawn, reasons.OF_CLASS, "plain", now)
    session.add(ClassPlace(question_id=question_id, person_id=person_id, exercise_id=kept.id))
    session.flush()
    return kept.id


def _answered(session: Session, question_id: int, person_id: int) -> bool:
    place = session.get(ClassPlace, (question_id, person_id))
    return place is not None and place.exercise.answer is not None
