"""Practice of knowledge questions: ask the next of a topic, take its answer. An acknowledged answer is on the disk."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import Any

from sqlalchemy import func, select
from sqlalchemy.exc import IntegrityError
from sqlalchemy.orm import Session

from trainer.bank import Entry, QuestionEntry
from trainer.bank.entries import question_of
from trainer.bank.spoken import entry_spoken
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import _, content
from trainer.questions.ask import Asked, Choice, ask, ask_again
from trainer.questions.offer import Past, choose
from trainer.services.keeping import audit, editions, sealed_papers
from trainer.store.models import Paper, PaperAnswer, QuestionAnswer, QuestionSheet, Sitting


@dataclass(frozen=True, slots=True)
class Topic:
    """How far one person is with a topic: its questions, how many were asked, how many right the last time."""

    name: str
    of: int
    asked: int
    right: int


def topics(session: Session, shelf: Shelf, person_id: int) -> list[Topic]:
    """Return every topic that has questions to practise, with how far this person is."""
    last = _last(session, person_id)
    held: dict[str, list[str]] = {}
    for entry in _open(session, shelf, person_id):
        held.setdefault(entry.topic, []).append(entry.id)
    return [
        Topic(name, len(ids), sum(i in last for i in ids), sum(last.get(i, False) for i in ids))
        for name, ids in sorted(held.items())
    ]


def offer(
    session: Session, shelf: Shelf, person_id: int, topic: str, seed: int, now: datetime
) -> QuestionSheet:
    """Ask the next question of a topic; one that waits unanswered is offered again. Raises NotFound."""
    entries = [one for one in _open(session, shelf, person_id) if one.topic == topic]
    waiting = session.scalars(
        select(QuestionSheet).outerjoin(QuestionAnswer)
        .where(
            QuestionSheet.person_id == person_id, QuestionSheet.topic == topic, QuestionAnswer.id.is_(None)
        )
        .order_by(QuestionSheet.id.desc())
    ).first()  # fmt: skip
    if waiting is not None and waiting.question_id in {one.id for one in entries}:
        return waiting
    chosen = choose(entries, _past(session, person_id, topic), str(person_id))
    if chosen is None:
        raise NotFound(_("There is no such topic, or nothing of it to practise now."))
    entry, reason = chosen
    asked = ask(shelf, entry, seed)
    row = QuestionSheet(
        person_id=person_id, edition_hash=keep(session, shelf, asked, now), question_id=entry.id, topic=topic,
        seed=seed, snapshot=asked.snapshot(), reason=reason, asked_at=now,
    )  # fmt: skip
    session.add(row)
    session.flush()
    return row


def shown(session: Session, shelf: Shelf, person_id: int, sheet_id: int) -> tuple[QuestionSheet, Asked]:
    """Return a person's own sheet with its options; NotFound for anybody else's, or while it is hidden."""
    row = session.get(QuestionSheet, sheet_id)
    if row is None or row.person_id != person_id or row.question_id in hidden(session, person_id):
        raise NotFound(_("There is no such question."))
    return row, stored(session, shelf, row.snapshot)


def take(
    session: Session, shelf: Shelf, person_id: int, sheet_id: int, letter: str, key: str | None, now: datetime
) -> Choice:
    """Keep the answer to a question, with a note, in the caller's transaction; return the option chosen.

    The same key sent twice is kept once. Raises Refused where no option is chosen, Conflict where the
    question has another answer already.
    """
    row, asked = shown(session, shelf, person_id, sheet_id)
    choice = asked.choice(letter)
    if row.answer is not None:
        kept = asked.choice(row.answer.letter)
        if key is not None and row.answer.key == key and kept is not None:
            return kept
        raise Conflict(
            _("This question is answered already. Its first answer counts; go on to the next one.")
        )
    if choice is None:
        raise Refused(_("Choose one of the four, then press again."))
    row.answer = QuestionAnswer(
        person_id=person_id, letter=letter, verdict="right" if choice.right else "wrong", key=key,
        answered_at=now, is_first=not _was_answered(session, person_id, row.question_id),
    )  # fmt: skip
    try:
        session.flush()
    except IntegrityError:
        raise Conflict(_("This answer came twice at the same moment; one of them is kept.")) from None
    audit.note(session, person_id, "question answered", sheet_id, now)
    return choice


def keep(session: Session, shelf: Shelf, asked: Asked, now: datetime) -> str:
    """Keep the editions behind an asked question; return the question's own."""
    for entry in behind(shelf, asked):
        editions.keep(session, entry, now)
    return asked.entry.edition


def behind(shelf: Shelf, asked: Asked) -> list[Entry | QuestionEntry]:
    """The items that an asked question rests on: the drill that its numbers come from, and the question itself."""
    drill = [shelf.bank.drill(asked.drawn[1].drill)] if asked.drawn is not None else []
    return [*drill, asked.entry]


def stored(session: Session, shelf: Shelf, snapshot: Mapping[str, Any]) -> Asked:
    """Ask a stored question again, from the edition it was asked from."""
    entry = shelf.bank.questions.get(snapshot["question"])
    if entry is None or entry.edition != snapshot["edition"]:
        entry = entry_spoken(question_of(editions.content(session, snapshot["edition"])), content)
    behind = editions.behind(session, shelf.bank, snapshot["drawn"]) if "drawn" in snapshot else None
    return ask_again(shelf, entry, snapshot, behind)


def hidden(session: Session, person_id: int) -> frozenset[str]:
    """Questions that stood on one's papers and are not released: those of sittings whose items are not shown.

    Raises NotNow while an examination that one has sat is locked. What is sealed of a void one, its passphrase
    lost, nobody can hide.
    """
    wanted = (
        select(PaperAnswer.exercise, Sitting.state, Sitting.plan)
        .join(Paper, Paper.id == PaperAnswer.paper_id).join(Sitting)
        .where(Paper.person_id == person_id)
    )  # fmt: skip
    return frozenset(
        found["question"]
        for kept, state, plan in session.execute(wanted)
        if not (state == "closed" and plan["shown"])
        and (state != "void" or sealed_papers.is_readable(session, kept))
        and "question" in (found := sealed_papers.opened(session, kept))
    )


def _open(session: Session, shelf: Shelf, person_id: int) -> Sequence[QuestionEntry]:
    """Questions of the practice pool that this person may see."""
    out_of_sight = hidden(session, person_id)
    return [
        one
        for one in shelf.bank.questions.values()
        if one.question.pool == "practice" and one.id not in out_of_sight
    ]


def _was_answered(session: Session, person_id: int, question_id: str) -> bool:
    """Whether a person answered a question before."""
    earlier = (
        select(QuestionAnswer.id).join(QuestionSheet)
        .where(QuestionSheet.person_id == person_id, QuestionSheet.question_id == question_id).limit(1)
    )  # fmt: skip
    return session.scalar(earlier) is not None


def _last(session: Session, person_id: int) -> dict[str, bool]:
    """Whether a person was right the last time, by question."""
    given = (
        select(func.max(QuestionAnswer.id)).join(QuestionSheet).where(QuestionSheet.person_id == person_id)
    )
    wanted = (
        select(QuestionSheet.question_id, QuestionAnswer.verdict).join(QuestionAnswer)
        .where(QuestionAnswer.id.in_(given.group_by(QuestionSheet.question_id)))
    )  # fmt: skip
    return {question: verdict == "right" for question, verdict in session.execute(wanted)}


def _past(session: Session, person_id: int, topic: str) -> list[Past]:
    """What a person answered of a topic, oldest first."""
    wanted = (
        select(QuestionSheet.question_id, QuestionAnswer.verdict).join(QuestionAnswer)
        .where(QuestionSheet.person_id == person_id, QuestionSheet.topic == topic).order_by(QuestionAnswer.id)
    )  # fmt: skip
    return [Past(question, verdict == "right") for question, verdict in session.execute(wanted)]
