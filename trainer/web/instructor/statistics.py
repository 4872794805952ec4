"""Statistics for the instructor: how hard each drill is, one drill, one examination."""

from __future__ import annotations

from functools import partial
from textwrap import shorten

from flask import render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.drawing.measures import CORRELATIONS, SHARES, Row, intervals
from trainer.errors import NotFound
from trainer.formulas.writing import amount, number
from trainer.languages import N_, _
from trainer.services.examining import item_statistics, question_statistics
from trainer.services.examining.item_statistics import PAPERS, PRACTICE
from trainer.services.keeping.paging import Page as Leaf
from trainer.services.keeping.paging import cut, having
from trainer.statistics.difficulty import Drift, Share
from trainer.statistics.enough import DIFFICULTY, percent
from trainer.statistics.items import ItemFigures
from trainer.web.access import me, parts
from trainer.web.asking import paging
from trainer.web.instructor import bp
from trainer.web.sheets import question_sheet

Page = str | tuple[str, int] | Response
ROWS = 20  # of each list on a page: two stand on one
MOST_TITLE = 110  # characters of a question where it stands in a list
SOURCES = {PRACTICE: N_("practice"), PAPERS: N_("closed examinations")}


@bp.get("/statistics")
def statistics() -> Page:
    """How hard each family of drills and each question is for the people of one's classes, the hardest first."""
    bank, of, wish = parts().bank, source(), paging.asked("drills-", rows=ROWS)
    with parts().database.reading() as session:
        found = item_statistics.by_family(session, bank, me().id, of)
        asked = question_statistics.by_question(session, me().id, of)
    entries = {e.drill.skill: e for e in reversed(bank.drills.values()) if e.drill.skill in found}
    hardest = sorted(entries.values(), key=lambda e: _hardness(found[e.drill.skill], e.drill.title))
    met = having(hardest, wish, lambda e: e.drill.title)
    page = cut(met, wish, len(hardest))
    address = partial(url_for, "instructor.drill_statistics", of=of)
    return render_template(
        "instructor/statistics.html", source=of, sources=sources(),
        hardest=hardest[0].drill.title if hardest and found[hardest[0].drill.skill].interval else "",
        picture=intervals(
            [_row(e.drill.title, share) for e in page.rows if (share := found[e.drill.skill]).interval], SHARES,
            _("Right first answers"),
        ),
        drills=page.showing([
            _line(e.drill.title, address(drill_id=e.id), found[e.drill.skill]) for e in page.rows
        ]),
        questions=_questions(asked, of),
    )  # fmt: skip


def _questions(shares: dict[str, Share], of: str) -> Leaf[dict[str, str | int]]:
    """The questions that people met, the hardest first, those that too few met at the end."""
    wish = paging.asked("questions-", rows=ROWS)
    hardest = sorted(
        (one for one in shares if one in parts().bank.questions), key=lambda one: _hardness(shares[one], one)
    )
    page = cut(having(hardest, wish, _question_title), wish, len(hardest))
    address = partial(url_for, "instructor.question_statistics_page", of=of)
    return page.showing([
        _line(_question_title(one), address(question_id=one), shares[one]) for one in page.rows
    ])  # fmt: skip


def _line(name: str, href: str, share: Share) -> dict[str, str | int]:
    """A row of a list: how many people, how many of them right, and between which shares the true one lies."""
    found = share.interval
    if found is None:
        told, between = "–", _("from %(n)s people on", n=DIFFICULTY.show)
    else:
        told = percent(found.value)
        between = _("%(low)s to %(high)s", low=percent(found.low), high=percent(found.high))
    return {"name": name, "href": href, "people": share.of, "right": told, "between": between}


def _hardness(share: Share, name: str) -> tuple[bool, float, str]:
    """What sorts the hardest first, and behind them by name what too few met to say."""
    shown = share.interval is not None
    return not shown, share.right / share.of if shown else 0.0, name


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
        answers = item_statistics.of_drill(session, me().id, source(), drill_id)
    finds = item_statistics.by_find(answers)
    named = {find: drill.quantities[find].name for find in drill.finds}
    shown = [_row(named.get(find, find), share) for find, share in finds.items() if share.interval]
    values = item_statistics.by_value(answers).items()
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
            for one in item_statistics.slips(answers)
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
