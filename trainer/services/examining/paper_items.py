"""The items of a paper, drills and questions alike: laid out at its start, asked again, judged at the close."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
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
from trainer.examinations.typed_marks import EMPTY, value_of
from trainer.languages import N_, _
from trainer.questions.ask import LETTERS, Asked, ask, shuffled
from trainer.services.authoring import own_seal
from trainer.services.keeping import editions, sealed_papers
from trainer.services.keeping.sealed_papers import facts
from trainer.services.practising import questions
from trainer.store.models import Paper, PaperAnswer, PrintedPaper, Sitting

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
    items = drawn(session, shelf, sitting, used, seed, now)
    tally(session, sitting, items)
    for position, kept in enumerate(items, 1):
        shut = sealed_papers.shut(session, sitting, kept, sealed_papers.ITEM_ROOM)
        session.add(PaperAnswer(paper_id=paper.id, position=position, exercise=shut, text=""))


def drawn(
    session: Session, shelf: Shelf, sitting: Sitting, used: Mapping[str, int], seed: Seed, now: datetime
) -> list[dict[str, Any]]:
    """Draw the drills and choose the questions of one paper, in an order of its own; ``used`` ones come last.

    Drills alone keep the order of the plan. Raises Conflict where the bank can no longer fill the plan, NotNow while
    own items are locked.
    """
    own_seal.refuse_while_locked(session, sitting.organisation_id)
    plan = Plan.of_data(sitting.plan)
    finds = {line.drill: list(shelf.bank.drill(line.drill).drill.finds) for line in plan.lines}
    behind: list[Entry | QuestionEntry] = []
    items = []
    for drill, find in plan.items(finds):
        entry = shelf.bank.drill(drill)
        behind.append(entry)
        items.append(draw(shelf.mould_of(entry, find), seed()).snapshot())
    if plan.questions is not None:
        for name in _chosen(shelf, plan.questions, used, seed()):
            asked = ask(shelf, shelf.bank.question(name), seed())
            behind += questions.behind(shelf, asked)
            items.append(asked.snapshot())
        items = shuffled(items, Numbers(f"{seed()}/items"))
    if sealed_papers.is_sealed(sitting):
        sealed_papers.keep_editions(session, sitting, behind)
    else:
        editions.keep_all(session, behind, now)
    return items


def on_paper(position: int, kept: dict[str, Any], sign: str) -> PaperAnswer:
    """An item that was written on paper: the letter chosen, the value written, or what a person judged by the key."""
    value = value_of(sign)
    if asks_question(kept) or value is not None or sign == EMPTY:
        text = sign if value is None else value
        return PaperAnswer(position=position, exercise=kept, text="" if sign == EMPTY else text)
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
    return dict(Counter(names_in(plain)))


def is_question(row: PaperAnswer) -> bool:
    """Whether an item is a question with options; else it is a drill."""
    return asks_question(facts(row))


def asks_question(kept: Mapping[str, Any]) -> bool:
    """Whether the facts of an item are those of a question."""
    return "question" in kept


def question_ids(paper: Paper) -> list[str]:
    """The questions of a paper in their order."""
    return [*names_in(map(facts, paper.answers))]


def names_in(items: Iterable[Mapping[str, Any]]) -> Iterator[str]:
    """The questions among facts of items."""
    return (kept["question"] for kept in items if asks_question(kept))


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


def judge(session: Session, shelf: Shelf, row: PaperAnswer, decimal: str) -> None:
    """Write its verdict on one item: right, wrong, or unreadable where nothing is written; and the slip of a drill."""
    if is_question(row):
        key = question(session, shelf, row).key
        row.verdict = "right" if row.text == key else "wrong" if row.text else "unreadable"
    elif is_by_hand(row):
        row.verdict = "right" if row.text == JUDGED["R"] else "wrong"
    else:
        found = mark(*exercise(session, shelf, row), row.text, decimal)
        row.verdict, row.slip = found.kind, (found.slip or "") if found.kind == "wrong" else None


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
    """Uses before this sitting, and those on its papers so far, printed ones too. Raises NotNow while it is locked."""
    found: Counter[str] = Counter(sitting.plan.get("uses", {}))
    found.update(_tally(session, sitting))
    return found


def tally(session: Session, sitting: Sitting, items: Iterable[Mapping[str, Any]]) -> None:
    """Count the questions of a paper that was drawn: who starts as the sixtieth must not wait for 59 to be opened.

    Raises NotNow while the examination is locked.
    """
    found = _tally(session, sitting)
    found.update(names_in(items))
    sitting.tally = sealed_papers.shut(session, sitting, {"uses": found}, sealed_papers.PAPER_ROOM)


def _uses_for(session: Session, sitting: Sitting, person_id: int) -> dict[str, int]:
    """Uses within the sitting, and on top what the candidate has met before."""
    found = uses_within(session, sitting)
    joined = select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id)
    met = session.scalars(joined.where(Paper.person_id == person_id))
    readable = (one for one in met if sealed_papers.is_readable(session, one))
    for name in names_in(sealed_papers.opened(session, one) for one in readable):
        found[name] += _OWN
    return dict(found)


def _tally(session: Session, sitting: Sitting) -> Counter[str]:
    """What is counted so far; of one begun by an earlier version, which counted nothing, what its papers show."""
    if sitting.tally is not None:
        return Counter(sealed_papers.opened(session, sitting.tally)["uses"])
    joined = select(PaperAnswer.exercise).join(Paper, Paper.id == PaperAnswer.paper_id)
    kept = [*session.scalars(joined.where(Paper.sitting_id == sitting.id))]
    printed = select(PrintedPaper.items).where(
        PrintedPaper.sitting_id == sitting.id, PrintedPaper.paper_id.is_(None)
    )
    items = [item for one in session.scalars(printed) for item in sealed_papers.opened(session, one)["items"]]
    return Counter(names_in([*(sealed_papers.opened(session, one) for one in kept), *items]))
