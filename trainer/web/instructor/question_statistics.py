"""One question of the bank: how hard it is, which options are chosen by whom, and which by nobody."""

from __future__ import annotations

from typing import Any

from flask import render_template

from trainer.bank.question import Question
from trainer.drawing.measures import SHARES, Row, intervals
from trainer.languages import _
from trainer.services.examining import question_statistics
from trainer.statistics.difficulty import Share
from trainer.statistics.enough import DIFFICULTY
from trainer.statistics.items import Option
from trainer.web.access import me, parts
from trainer.web.instructor import bp
from trainer.web.instructor.statistics import source, sources
from trainer.web.sheets import question_sheet


@bp.get("/statistics/questions/<question_id>")
def question_statistics_page(question_id: str) -> str:
    """Its share of right first answers, its correlation with the rest, its options."""
    shelf = parts().shelf
    entry = shelf.bank.question(question_id[:80])
    with parts().database.reading() as session:
        answers = question_statistics.of_question(session, me().id, source(), entry.id)
        use = question_statistics.use(session, me().id, source(), entry.id)
        found = question_statistics.figures(answers, entry.id)
        chosen = question_statistics.chosen(session, shelf, answers)
    rows = _rows(entry.question, chosen) if found.share.interval else []
    situation, asked = question_sheet.wording(entry.question)
    return render_template(
        "instructor/question_statistics.html", entry=entry, situation=situation, heading=asked,
        topic=question_sheet.topic_words(entry.topic), source=source(), sources=sources(), found=found, rows=rows,
        shown=DIFFICULTY.show, use=use,
        picture=intervals(
            [_row(row["name"], Share(row["chosen"], found.share.of)) for row in rows], SHARES,
            _("Chosen first, of all who answered"), fid="options",
        ),
    )  # fmt: skip


def _rows(question: Any, chosen: list[Option]) -> list[dict[str, Any]]:
    """The options as they are named in picture and list; those that nobody chose stand at the end."""
    nobody = []
    if isinstance(question, Question):
        met = {one.name for one in chosen}
        nobody = [Option(one.text, one.right, 0, 0.0) for one in question.options if one.text not in met]
    rows = []
    for place, one in enumerate([*chosen, *nobody], 1):
        text = one.name or (_("the right value") if one.right else _("no answer"))
        name = _("%(place)s, right", place=place) if one.right else str(place)
        rows.append({"name": name, "text": question_sheet.stressed(text), "chosen": one.chosen, "one": one})
    return rows


def _row(name: str, share: Share) -> Row:
    bounds = share.interval
    assert bounds is not None, "options are shown of shares that are"
    says = _("%(part)s of %(whole)s", part=share.right, whole=share.of)
    return Row(name, bounds.value, bounds.low, bounds.high, says)
