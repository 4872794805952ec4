"""Turn the items of a paper, drills and questions, into the plain data that its pages take."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from trainer.bank import Bank
from trainer.drills.marking import mark
from trainer.drills.shelf import Shelf
from trainer.languages import _
from trainer.questions import telling
from trainer.services.examining import paper_items
from trainer.store.models import PaperAnswer
from trainer.web.sheets import presenting, question_sheet

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def item_view(session: Session, shelf: Shelf, row: PaperAnswer) -> dict[str, Any]:
    """Return one item as it is asked; ``question`` tells which piece shows it. Nothing in it is a key."""
    if paper_items.is_question(row):
        return {"question": True, **question_sheet.question_view(paper_items.question(session, shelf, row))}
    return {
        "question": False,
        **presenting.exercise_view(*paper_items.exercise(session, shelf, row)),
    }


def verdict_view(session: Session, shelf: Shelf, row: PaperAnswer, decimal: str) -> dict[str, Any]:
    """Return one item after the close with all that is to be learnt from it; ``question`` names its template."""
    if paper_items.is_question(row):
        asked = paper_items.question(session, shelf, row)
        view = question_sheet.question_view(asked)
        return {
            "question": True, "view": view, "ask": view["heading"],
            "heading": question_sheet.heading(asked, row.text),
            "reasons": question_sheet.reasons_view(asked, row.text), "sources": telling.sources(asked),
            "title_rows": question_sheet.title_rows(asked),
        }  # fmt: skip
    mould, drawn = paper_items.exercise(session, shelf, row)
    judged = mark(mould, drawn, "" if paper_items.is_by_hand(row) else row.text, decimal)
    verdict = presenting.verdict_view(mould, drawn, judged)
    if paper_items.is_by_hand(row):
        verdict |= {
            "heading": _("Judged %(judgement)s", judgement=_(row.text)),
            "says": [_("What was written stands on the paper.")],
        }
    return {
        "question": False, "ask": presenting.ask(mould.read.drill, mould.find),
        "verdict": verdict,
        "working": presenting.working_view(shelf.bank, mould, drawn, judged),
        "figure": presenting.solved_figure(mould, drawn, judged),
        "title_rows": presenting.title_rows(mould.read.drill, drawn),
    }  # fmt: skip


def asked_words(session: Session, shelf: Shelf, row: PaperAnswer) -> str:
    """Return in a few words what an item asks: drill and unknown, or the topic and the question itself."""
    if paper_items.is_question(row):
        asked = paper_items.question(session, shelf, row)
        topic = question_sheet.topic_words(asked.entry.topic)
        return f"{topic}: {question_sheet.question_view(asked)['heading'].striptags()}"
    mould, _drawn = paper_items.exercise(session, shelf, row)
    return f"{mould.read.drill.title}, {mould.read.drill.quantities[mould.find].name}"


def group_title(bank: Bank, group: str) -> str:
    """Return the words for a group of items: the title of a drill, or the topic of questions."""
    if group.startswith(paper_items.TOPIC):
        topic = question_sheet.topic_words(group.removeprefix(paper_items.TOPIC))
        return _("Questions: %(topic)s", topic=topic[:1].lower() + topic[1:])
    return bank.drills[group].drill.title if group in bank.drills else group or _("No longer in the bank")
