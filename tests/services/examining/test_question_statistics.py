"""Questions are counted each by itself, whatever paper they stood on; options with whoever chose them."""

from __future__ import annotations

from collections import Counter
from datetime import timedelta
from statistics import fmean

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.answering import make_crowd
from tests.banks import shipped_shelf
from tests.make import NOW, People, make_people
from trainer.drills.shelf import Shelf
from trainer.examinations.composition import composed
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import (
    item_statistics,
    paper_items,
    papers,
    question_statistics,
    scoring_papers,
    sittings,
)
from trainer.services.examining.item_statistics import PAPERS, PRACTICE
from trainer.services.examining.question_statistics import Use
from trainer.services.keeping.moments import local_day
from trainer.services.practising import questions
from trainer.store.models import Paper, QuestionSheet


@pytest.fixture
def four(session: Session) -> People:
    """The four people in an empty store."""
    return make_people(session)


def held(session: Session, shelf: Shelf, ian: int, candidates: int) -> int:
    """An examination of three questions and a drill; every second candidate is right throughout, the others choose A."""
    class_id, crowd = make_crowd(session, ian, candidates)
    wanted = Plan(
        (Line("coil-low-fill-wall", "I", 1),), 50, "general",
        questions=composed(shelf.bank.papers["small-1"].plan, 3, {"coil": 1}, ["coil-low-fill-wall"]),
    )  # fmt: skip
    made = sittings.plan(session, shelf, ian, class_id, "Coils", "I", 30, wanted, "ABC234", NOW).id
    sittings.open_sitting(session, ian, made, NOW)
    for at, person in enumerate(crowd):
        seeds = iter(range(person * 1000, person * 1000 + 99)).__next__
        paper = papers.start(session, shelf, person, "ABC234", seeds, NOW)
        for row in paper.answers:
            if paper_items.is_question(row):
                row.text = paper_items.question(session, shelf, row).key if at % 2 else "A"
        papers.hand_in(session, person, paper.id, NOW)
    session.expire_all()
    scoring_papers.close(session, shelf, ian, made, NOW)
    return made


def test_a_question_is_counted_by_itself(session: Session, shelf: Shelf, four: People) -> None:
    """Its people, its right ones and each option chosen agree with what stands on the papers."""
    held(session, shelf, four.ian, 12)
    shares = question_statistics.by_question(session, four.ian, PAPERS)
    assert sum(share.of for share in shares.values()) == 36
    rows = [row for paper in session.scalars(select(Paper)) for row in paper.answers]
    for question, share in shares.items():
        own = [row for row in rows if row.exercise.get("question") == question]
        assert (share.of, share.right) == (len(own), sum(row.verdict == "right" for row in own))
        answers = question_statistics.of_question(session, four.ian, PAPERS, question)
        assert question_statistics.figures(answers, question).share == share
        found = question_statistics.chosen(session, shelf, answers)
        used = question_statistics.use(session, four.ian, PAPERS, question)
        assert (used.answered, used.first, used.last) == (len(own), local_day(NOW), local_day(NOW))
        assert sum(one.chosen for one in found) == share.of
        assert sum(one.chosen for one in found if one.right) == share.right
        for one in found:
            texts = [paper_items.question(session, shelf, row).choice(row.text) for row in own]
            assert one.chosen == sum(choice is not None and choice.text == one.name for choice in texts)


def test_a_place_on_the_paper_is_no_item_where_questions_are_mixed(
    session: Session, shelf: Shelf, four: People
) -> None:
    """Each item of the examination is a question or a drill, met by those who met it; its reliability is KR-21."""
    made = held(session, shelf, four.ian, 30)
    _, paper, items, asked = item_statistics.of_sitting(session, four.ian, made)
    shares = question_statistics.by_question(session, four.ian, PAPERS)
    by_id = {asked[one.item][1]: one.share for one in items if not asked[one.item][0]}
    assert by_id == shares
    assert sum(one.share.of for one in items) == 120
    assert paper.mixed
    assert paper.items == 4
    mean, deviation = paper.mean, paper.deviation
    assert paper.reliability is not None
    assert paper.reliability.value == pytest.approx(4 / 3 * (1 - mean * (4 - mean) / (4 * deviation**2)))
    assert "questions of their own" in " ".join(paper.says)


def test_first_answers_of_practice(session: Session, four: People) -> None:
    """The first choice of each person counts, however often they meet the question again."""
    shelf = shipped_shelf()
    _, (one,) = make_crowd(session, four.ian, 1)
    topics = Counter(e.topic for e in shelf.bank.questions.values() if e.question.pool == "practice")
    topic = min((name for name in topics if topics[name] > 2), key=lambda name: topics[name])
    firsts: dict[str, bool] = {}
    for turn in range(topics[topic] + 2):  # the last of them come again
        sheet = questions.offer(session, shelf, one, topic, turn, NOW + timedelta(days=turn))
        _, asked = questions.shown(session, shelf, one, sheet.id)
        right = turn % 3 == 1
        choice = next(choice for choice in asked.choices if choice.right is right)
        questions.take(session, shelf, one, sheet.id, choice.letter, None, NOW + timedelta(days=turn))
        firsts.setdefault(sheet.question_id, right)
    assert len(firsts) > 2
    shares = question_statistics.by_question(session, four.ian, PRACTICE)
    assert {name: (share.right, share.of) for name, share in shares.items()} == {
        name: (int(right), 1) for name, right in firsts.items()
    }
    assert all(share.interval is None for share in shares.values())
    met = Counter(session.scalars(select(QuestionSheet.question_id)))
    again = max(met, key=lambda name: met[name])
    used = question_statistics.use(session, four.ian, PRACTICE, again)
    assert used.answered == met[again] > 1
    assert used.first is not None
    assert used.last is not None
    assert used.first < used.last
    answers = question_statistics.of_question(session, four.ian, PRACTICE, again)
    others = [right for name, right in firsts.items() if name != again]
    assert [one.elsewhere for one in answers] == [fmean(others)]
    (found,) = question_statistics.chosen(session, shelf, answers)
    assert (found.chosen, found.right) == (1, firsts[again])


def test_a_question_nobody_met(session: Session, four: People) -> None:
    """It has no share and no history."""
    for source in (PRACTICE, PAPERS):
        answers = question_statistics.of_question(session, four.ian, source, "no-such")
        assert question_statistics.figures(answers, "no-such").share.of == 0
        assert question_statistics.use(session, four.ian, source, "no-such") == Use(0, None, None)
