"""The items of a paper, drills and questions alike: laid out at its start, asked again, judged at the close."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterator, Mapping
from datetime import datetime
from typing import Any

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.bank import Entry, QuestionEntry
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
from trainer.services import editions, questions, sealed_papers
from trainer.services.sealed_papers import facts
from trainer.store.models import Paper, PaperAnswer, Sitting

Seed = Callable[[], int]
MOST_TEXT = 200
BY_HAND = "by_hand"  # in an item's facts: a person judged it on paper
JUDGED = {"R": N_("right, on paper"), "W": N_("not right, on paper")}
TOPIC = "topic/"  # stands before the topic of a question, so that no drill is taken for it
_OWN = 1000  # what oneself has met on a paper before comes last, however seldom others have met it


def lay_out(session: Session, shelf: Shelf, paper: Paper, seed: Seed, now: datetime) -> None:
    """Lay the items of a new paper out and keep them.

    Raises Conflict where the bank can no longer fill the plan, NotNow while the examination is locked.
    """
    sitting = session.get_one(Sitting, paper.sitting_id)
    plan = Plan.of_data(sitting.plan)
    used = _uses_for(session, sitting, paper.person_id) if plan.questions else {}
    for position, kept in enumerate(drawn(session, shelf, sitting, used, seed, now), 1):
        shut = sealed_papers.shut(session, sitting, kept, sealed_papers.ITEM_ROOM)
        session.add(PaperAnswer(paper_id=paper.id, position=position, exercise=shut, text=""))


def drawn(
    session: Session, shelf: Shelf, sitting: Sitting, used: Mapping[str, int], seed: Seed, now: datetime
) -> list[dict[str, Any]]:
    """Draw the drills and choose the questions of one paper, in an order of its own; ``used`` ones come last.

    Drills alone keep the order of the plan. Raises Conflict where the bank can no longer fill the plan.
    """
    plan = Plan.of_data(sitting.plan)
    finds = {line.drill: list(shelf.bank.drill(line.drill).drill.finds) for line in plan.lines}
    items = [_drill(session, shelf, sitting, drill, find, seed(), now) for drill, find in plan.items(finds)]
    if plan.questions is not None:
        chosen = _chosen(shelf, plan.questions, used, seed())
        items += [_question(session, shelf, sitting, name, seed(), now) for name in chosen]
        items = shuffled(items, Numbers(f"{seed()}/items"))
    return items


def on_paper(position: int, kept: dict[str, Any], sign: str) -> PaperAnswer:
    """An item that was written on paper: the letter chosen, or what a person judged by the key; "" for nothing."""
    if asks_question(kept) or not sign:
        return PaperAnswer(position=position, exercise=kept, text=sign)
    return PaperAnswer(position=position, exercise=kept | {BY_HAND: True}, text=JUDGED[sign])


def is_by_hand(row: PaperAnswer) -> bool:
    """Whether a person judged the answer on paper, so that only the judgement stands here."""
    return BY_HAND in facts(row)


def lacks(shelf: Shelf, composition: Composition) -> tuple[str, ...]:
    """What the bank lacks for papers of a composition, as sentences; nothing where it can fill them."""
    return assemble(composition, pool_of(shelf.bank, composition), {}, 0).lacks


def uses(session: Session, organisation_id: int) -> dict[str, int]:
    """How often each question has stood on a paper of this house; what is sealed is not told, as this is kept in plain."""
    wanted = (
        select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id).join(Sitting)
        .where(Sitting.organisation_id == organisation_id)
    )  # fmt: skip
    plain = (kept for kept in session.scalars(wanted) if sealed_papers.SEALED not in kept)
    return dict(Counter(_ids(plain)))


def is_question(row: PaperAnswer) -> bool:
    """Whether an item is a question with options; else it is a drill."""
    return asks_question(facts(row))


def asks_question(kept: Mapping[str, Any]) -> bool:
    """Whether the facts of an item are those of a question."""
    return "question" in kept


def question_ids(paper: Paper) -> list[str]:
    """The questions of a paper in their order."""
    return [kept["question"] for kept in map(facts, paper.answers) if asks_question(kept)]


def exercise(session: Session, shelf: Shelf, row: PaperAnswer) -> tuple[Mould, Exercise]:
    """The exercise of a drill item, made again from the edition it was drawn from."""
    kept = facts(row)
    return shelf.stored(editions.behind(session, shelf.bank, kept), kept)


def question(session: Session, shelf: Shelf, row: PaperAnswer) -> Asked:
    """The question of an item as it was asked."""
    return questions.stored(session, shelf, facts(row))


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
    kept = facts(row)
    if not asks_question(kept):
        return str(kept["drill"])
    entry = shelf.bank.questions.get(kept["question"])
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


def uses_within(session: Session, sitting: Sitting) -> Counter[str]:
    """Uses before this sitting, and those on its papers so far. Raises NotNow while it is locked."""
    found: Counter[str] = Counter(sitting.plan.get("uses", {}))
    joined = select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id)
    kept = session.scalars(joined.where(Paper.sitting_id == sitting.id))
    found.update(_ids(sealed_papers.opened(session, one) for one in kept))
    return found


def _uses_for(session: Session, sitting: Sitting, person_id: int) -> dict[str, int]:
    """Uses within the sitting, and on top what the candidate has met before."""
    found = uses_within(session, sitting)
    joined = select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id)
    met = session.scalars(joined.where(Paper.person_id == person_id))
    readable = (one for one in met if sealed_papers.is_readable(session, one))
    for name in _ids(sealed_papers.opened(session, one) for one in readable):
        found[name] += _OWN
    return dict(found)


def _ids(snapshots: Any) -> Iterator[str]:
    return (kept["question"] for kept in snapshots if asks_question(kept))


def _drill(
    session: Session, shelf: Shelf, sitting: Sitting, drill: str, find: str, seed: int, now: datetime
) -> dict[str, Any]:
    """Draw one exercise; everybody is asked for the same unknowns, with numbers of their own."""
    entry = shelf.bank.drill(drill)
    one = draw(shelf.mould_of(entry, find), seed)
    _keep(session, sitting, entry, now)
    return one.snapshot()


def _question(
    session: Session, shelf: Shelf, sitting: Sitting, name: str, seed: int, now: datetime
) -> dict[str, Any]:
    asked = ask(shelf, shelf.bank.question(name), seed)
    for entry in questions.behind(shelf, asked):
        _keep(session, sitting, entry, now)
    return asked.snapshot()


def _keep(session: Session, sitting: Sitting, entry: Entry | QuestionEntry, now: datetime) -> None:
    """Keep the edition of an item, under the seal of the sitting if it has one."""
    if sealed_papers.is_sealed(sitting):
        sealed_papers.keep_edition(session, sitting, entry)
    else:
        editions.keep(session, entry, now)
