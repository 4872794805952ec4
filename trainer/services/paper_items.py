"""The items of a paper, drills and questions alike: laid out at its start, asked again, judged at the close."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise
from trainer.drills.marking import mark
from trainer.drills.mould import Mould
from trainer.drills.numbers import Numbers
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict
from trainer.examinations.assembly import assemble, pool_of
from trainer.examinations.composition import Composition
from trainer.examinations.plan import Plan
from trainer.languages import N_, _
from trainer.questions.ask import LETTERS, Asked, ask, shuffled
from trainer.services import editions, questions
from trainer.store.models import Paper, PaperAnswer, Sitting

Seed = Callable[[], int]
MOST_TEXT = 200
BY_HAND = "by_hand"  # in an item's facts: a person judged it on paper
JUDGED = {"R": N_("right, on paper"), "W": N_("not right, on paper")}
TOPIC = "topic/"  # stands before the topic of a question, so that no drill is taken for it
_OWN = 1000  # what oneself has met on a paper before comes last, however seldom others have met it


def lay_out(session: Session, shelf: Shelf, paper: Paper, plan: Plan, seed: Seed, now: datetime) -> None:
    """Lay the items of a new paper out and keep them. Raises Conflict where the bank can no longer fill the plan."""
    items = drawn(session, shelf, plan, _uses_for(session, paper) if plan.questions else {}, seed, now)
    for position, kept in enumerate(items, 1):
        session.add(PaperAnswer(paper_id=paper.id, position=position, exercise=kept, text=""))


def drawn(
    session: Session, shelf: Shelf, plan: Plan, used: Mapping[str, int], seed: Seed, now: datetime
) -> list[dict[str, Any]]:
    """Draw the drills and choose the questions of one paper, in an order of its own; ``used`` ones come last.

    Drills alone keep the order of the plan. Raises Conflict where the bank can no longer fill the plan.
    """
    finds = {line.drill: list(shelf.bank.drill(line.drill).drill.finds) for line in plan.lines}
    items = [_drill(session, shelf, drill, find, seed(), now) for drill, find in plan.items(finds)]
    if plan.questions is not None:
        chosen = _chosen(shelf, plan.questions, used, seed())
        items += [_question(session, shelf, name, seed(), now) for name in chosen]
        items = shuffled(items, Numbers(f"{seed()}/items"))
    return items


def on_paper(position: int, kept: dict[str, Any], sign: str) -> PaperAnswer:
    """An item that was written on paper: the letter chosen, or what a person judged by the key; "" for nothing."""
    if asks_question(kept) or not sign:
        return PaperAnswer(position=position, exercise=kept, text=sign)
    return PaperAnswer(position=position, exercise=kept | {BY_HAND: True}, text=JUDGED[sign])


def is_by_hand(row: PaperAnswer) -> bool:
    """Whether a person judged the answer on paper, so that only the judgement stands here."""
    return BY_HAND in row.exercise


def lacks(shelf: Shelf, composition: Composition) -> tuple[str, ...]:
    """What the bank lacks for papers of a composition, as sentences; nothing where it can fill them."""
    return assemble(composition, pool_of(shelf.bank, composition), {}, 0).lacks


def uses(session: Session, organisation_id: int) -> dict[str, int]:
    """How often each question has stood on a paper of this house."""
    wanted = (
        select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id).join(Sitting)
        .where(Sitting.organisation_id == organisation_id)
    )  # fmt: skip
    return dict(Counter(_ids(session.scalars(wanted))))


def is_question(row: PaperAnswer) -> bool:
    """Whether an item is a question with options; else it is a drill."""
    return asks_question(row.exercise)


def asks_question(kept: Mapping[str, Any]) -> bool:
    """Whether the facts of an item are those of a question."""
    return "question" in kept


def question_ids(paper: Paper) -> list[str]:
    """The questions of a paper in their order."""
    return [row.exercise["question"] for row in paper.answers if is_question(row)]


def exercise(session: Session, shelf: Shelf, row: PaperAnswer) -> tuple[Mould, Exercise]:
    """The exercise of a drill item, made again from the edition it was drawn from."""
    return shelf.stored(editions.behind(session, shelf.bank, row.exercise), row.exercise)


def question(session: Session, shelf: Shelf, row: PaperAnswer) -> Asked:
    """The question of an item as it was asked."""
    return questions.stored(session, shelf, row.exercise)


def written(row: PaperAnswer, text: str) -> str:
    """What of a sent text is kept: a letter for a question, a bounded text for a drill."""
    if is_question(row):
        return text if text in set(LETTERS) else ""
    return text[:MOST_TEXT]


def verdict(session: Session, shelf: Shelf, row: PaperAnswer, decimal: str) -> str:
    """Judge one item: right, wrong, or unreadable where nothing is written."""
    if is_question(row):
        key = question(session, shelf, row).key
        return "right" if row.text == key else "wrong" if row.text else "unreadable"
    if is_by_hand(row):
        return "right" if row.text == JUDGED["R"] else "wrong"
    return mark(*exercise(session, shelf, row), row.text, decimal).kind


def group(row: PaperAnswer, shelf: Shelf) -> str:
    """What an item belongs to: a drill by its id, a question by its topic; "" where the bank has it no longer."""
    if not is_question(row):
        return str(row.exercise["drill"])
    entry = shelf.bank.questions.get(row.exercise["question"])
    return f"{TOPIC}{entry.topic}" if entry else ""


def _chosen(shelf: Shelf, composition: Composition, used: Mapping[str, int], seed: int) -> tuple[str, ...]:
    found = assemble(composition, pool_of(shelf.bank, composition), used, seed)
    if found.lacks:
        raise Conflict(
            _(
                "The bank cannot fill this paper any more (%(lacks)s). Tell the invigilator.",
                lacks="; ".join(found.lacks),
            )
        )
    return found.questions


def _uses_for(session: Session, paper: Paper) -> dict[str, int]:
    """Uses before this sitting, those in it so far, and on top what the candidate has met before."""
    sitting = session.get_one(Sitting, paper.sitting_id)
    found: Counter[str] = Counter(sitting.plan.get("uses", {}))
    joined = select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id)
    found.update(_ids(session.scalars(joined.where(Paper.sitting_id == paper.sitting_id))))
    for name in _ids(session.scalars(joined.where(Paper.person_id == paper.person_id))):
        found[name] += _OWN
    return dict(found)


def _ids(snapshots: Any) -> Iterator[str]:
    return (kept["question"] for kept in snapshots if asks_question(kept))


def _drill(session: Session, shelf: Shelf, drill: str, find: str, seed: int, now: datetime) -> dict[str, Any]:
    """Draw one exercise; everybody is asked for the same unknowns, with numbers of their own."""
    entry = shelf.bank.drill(drill)
    one = draw(shelf.mould_of(entry, find), seed)
    editions.keep(session, entry, now)
    return one.snapshot()


def _question(session: Session, shelf: Shelf, name: str, seed: int, now: datetime) -> dict[str, Any]:
    asked = ask(shelf, shelf.bank.question(name), seed)
    questions.keep(session, shelf, asked, now)
    return asked.snapshot()
