"""Statistics for the instructor: how hard each drill is, one drill, one examination."""

from __future__ import annotations

from textwrap import shorten
from typing import Any

from flask import render_template, request
from werkzeug.wrappers import Response

from trainer.drawing.measures import CORRELATIONS, SHARES, Row, intervals
from trainer.errors import NotFound
from trainer.formulas.writing import amount, number
from trainer.languages import N_, _
from trainer.services.examining import item_statistics, question_statistics
from trainer.services.examining.item_statistics import PAPERS, PRACTICE, Seen
from trainer.statistics.difficulty import Drift, Share
from trainer.statistics.items import ItemFigures
from trainer.web.access import me, parts
from trainer.web.instructor import bp
from trainer.web.sheets import question_sheet

Page = str | tuple[str, int] | Response
MOST_TITLE = 110  # characters of a question where it stands in a list
SOURCES = {PRACTICE: N_("practice"), PAPERS: N_("closed examinations")}


@bp.get("/statistics")
def statistics() -> Page:
    """How hard each family of drills is for the people of one's classes."""
    bank = parts().bank
    found = item_statistics.by_family(bank, _seen())
    names = {e.drill.skill: e.drill.title for e in reversed(bank.drills.values())}
    drills = {e.drill.skill: e.id for e in reversed(bank.drills.values())}
    enough = sorted((f for f in found if found[f].interval), key=lambda f: found[f].right / found[f].of)
    return render_template(
        "instructor/statistics.html", source=source(), sources=sources(),
        picture=intervals([_row(names[f], found[f]) for f in enough], SHARES, _("Right first answers")),
        told=[(names[f], drills[f], found[f].says) for f in enough],
        few=sorted((names[f], drills[f], found[f].of) for f in found if f not in enough),
        questions=_questions(),
    )  # fmt: skip


def _questions() -> list[dict[str, Any]]:
    """The questions that people met, the hardest first; of those that too few met, how many met each."""
    with parts().database.reading() as session:
        answers = question_statistics.given(session, me().id, source())
    shares = question_statistics.by_question(answers)
    rows = [
        {"id": one, "name": _question_title(one), "share": share, "shown": share.interval is not None}
        for one, share in shares.items()
        if one in parts().bank.questions
    ]
    return sorted(rows, key=lambda row: (not row["shown"], row["share"].right / row["share"].of, row["name"]))


def _question_title(question_id: str) -> str:
    entry = parts().bank.questions.get(question_id)
    if entry is None:
        return question_id
    words = " ".join(part.striptags() for part in question_sheet.wording(entry.question))
    return f"{question_sheet.topic_words(entry.topic)}: {shorten(words, MOST_TITLE, placeholder='…')}"


@bp.get("/statistics/<drill_id>")
def drill_statistics(drill_id: str) -> Page:
    """One drill: each thing it asks for, low against high values, its slips, its history."""
    bank, drill_id = parts().bank, drill_id[:80]
    drill = bank.drill(drill_id).drill
    with parts().database.reading() as session:
        history = item_statistics.use(session, me().id, bank, drill_id)
    answers = _seen(drill_id)
    finds = item_statistics.by_find(answers, drill_id)
    named = {find: drill.quantities[find].name for find in drill.finds}
    shown = [_row(named.get(find, find), share) for find, share in finds.items() if share.interval]
    values = item_statistics.by_value(answers, drill_id).items()
    return render_template(
        "instructor/drill_statistics.html", drill=drill, source=source(), sources=sources(), history=history,
        picture=intervals(shown, SHARES, _("%(drill)s: right first answers", drill=drill.title), fid="finds"),
        finds=[(named.get(find, find), share.says) for find, share in finds.items()],
        values=[
            (_value_title(drill_id, key), _bins(drill_id, key, one, f"bins-{at}"), one.says)
            for at, (key, one) in enumerate(values)
        ],
        slips=[
            (parts().shelf.slip_name(drill_id, one.name) if one.name else _("not recognised"), one)
            for one in item_statistics.slips(answers, drill_id)
        ],
    )  # fmt: skip


@bp.get("/sittings/<int:sitting_id>/statistics")
def sitting_statistics(sitting_id: int) -> Page:
    """One closed examination: how far its score can be trusted, and how each item did."""
    with parts().database.reading() as session:
        found, paper, items, asked = item_statistics.of_sitting(session, me().id, sitting_id)
    titles = {
        item: _title(*about) if paper.mixed else f"{item}. {_title(*about)}" for item, about in asked.items()
    }
    told = [one for one in items if one.share.interval or not paper.mixed]
    return render_template(
        "instructor/sitting_statistics.html", found=found, paper=paper, few=len(items) - len(told),
        items=[(titles[one.item], {asked[one.item][1]} & parts().bank.questions.keys(), one) for one in told],
        hard=intervals(
            [_row(titles[one.item], one.share) for one in items if one.share.interval], SHARES,
            _("How hard each item was"), fid="hard",
        ),
        rest=intervals(_with_rest(items, titles), CORRELATIONS, _("Each item with the rest of the paper"), fid="rest"),
    )  # fmt: skip


def sources() -> dict[str, str]:
    """Where answers come from, in words."""
    return {key: _(words) for key, words in SOURCES.items()}


def source() -> str:
    """Which of them is asked for. Raises NotFound for any other."""
    wanted = request.args.get("of", PRACTICE)
    if wanted not in SOURCES:
        raise NotFound(_("There are no such statistics."))
    return wanted


def _seen(drill_id: str = "") -> list[Seen]:
    with parts().database.reading() as session:
        return item_statistics.seen(session, me().id, source(), drill_id)


def _row(name: str, share: Share) -> Row:
    found = share.interval
    assert found is not None, "rows are made of shares that are shown"
    return Row(
        name, found.value, found.low, found.high, _("%(part)s of %(whole)s", part=share.right, whole=share.of)
    )


def _with_rest(items: list[ItemFigures], titles: dict[str, str]) -> list[Row]:
    return [
        Row(titles[one.item], one.rest.value, one.rest.low, one.rest.high) for one in items if one.rest is not None
    ]  # fmt: skip


def _title(drill_id: str, find: str) -> str:
    entry = parts().bank.drills.get(drill_id)
    if entry is None or find not in entry.drill.quantities:
        return drill_id or _question_title(find)
    return f"{entry.drill.title}, {entry.drill.quantities[find].name}"


def _value_title(drill_id: str, key: tuple[str, str]) -> str:
    find, symbol = (_quantity(drill_id, one) for one in key)
    return _("Asked for %(find)s, by %(quantity)s", find=find, quantity=symbol)


def _bins(drill_id: str, key: tuple[str, str], found: Drift, fid: str) -> str:
    unit = parts().bank.drill(drill_id).drill.quantities[key[1]].unit if _known(drill_id, key[1]) else "1"
    rows = [
        _row(_("%(low)s to %(high)s", low=number(one.low), high=amount(one.high, unit)), one.share)
        for one in found.bins
    ]
    return intervals(rows, SHARES, _value_title(drill_id, key), fid=fid)


def _known(drill_id: str, symbol: str) -> bool:
    return symbol in parts().bank.drill(drill_id).drill.quantities


def _quantity(drill_id: str, symbol: str) -> str:
    return parts().bank.drill(drill_id).drill.quantities[symbol].name if _known(drill_id, symbol) else symbol
