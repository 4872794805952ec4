"""Turn the items of a printed examination paper, drills and questions, into what the PDFs show."""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING, Any

from markupsafe import Markup

from trainer.drills.marking import written
from trainer.drills.shelf import Shelf
from trainer.languages import _
from trainer.printing.examination import Item, Option, Paper
from trainer.printing.handout import Given
from trainer.printing.style import FigureStyle
from trainer.services.examining import paper_items, printed_papers
from trainer.store.models import PaperAnswer, PrintedPaper
from trainer.web.sheets import presenting, question_sheet

if TYPE_CHECKING:
    from sqlalchemy.orm import Session


def paper(session: Session, shelf: Shelf, style: FigureStyle, row: PrintedPaper) -> Paper:
    """Return one numbered paper with its keys."""
    items = (_item(session, shelf, style, one) for one in printed_papers.items_of(session, row))
    return Paper(row.number, tuple(items))


def given(view: dict[str, Any]) -> tuple[Given, ...]:
    """Return the parts list of an exercise as lines; what each belongs to stands once."""
    rows = [(group["part"], row) for group in view["parts"] for row in group["rows"]]
    return tuple(
        Given(owner if at == 0 else "", row["name"], row["symbol"], row["value"] or _("find it"))
        for owner, group in groupby(rows, key=lambda row: row[0])
        for at, (_owner, row) in enumerate(group)
    )


def _item(session: Session, shelf: Shelf, style: FigureStyle, row: PaperAnswer) -> Item:
    if paper_items.is_question(row):
        asked = paper_items.question(session, shelf, row)
        view = question_sheet.question_view(asked)
        return Item(
            _plain(view["heading"]), _plain(view["situation"]), style.alone(view["figure_svg"]), view["scale"],
            tuple(Given("", name, "", value) for name, value in view["given"]),
            tuple(Option(letter, _plain(text)) for letter, text in view["options"]), "", asked.key,
        )  # fmt: skip
    mould, drawn = paper_items.exercise(session, shelf, row)
    view = presenting.exercise_view(mould, drawn)
    key = presenting.working_view(shelf.bank, mould, drawn)
    unknown = view["find"]["name"]
    return Item(
        view["heading"], view["situation"], style.alone(view["figure_svg"]), view["scale"], given(view), (),
        unknown[:1].upper() + unknown[1:], written(mould, drawn.answer), key["accepted_says"],
        tuple(step["right_text"] for step in key["steps"]),
    )  # fmt: skip


def _plain(text: Markup) -> str:
    """A text of the bank without its stress: a printed sheet sets it plain."""
    return text.striptags()
