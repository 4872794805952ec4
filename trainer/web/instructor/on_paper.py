"""An examination on paper: numbered papers and their keys to print, marks typed twice and taken."""

from __future__ import annotations

import secrets
from typing import Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, NotFound, NotNow, Refused
from trainer.examinations.plan import Plan
from trainer.languages import LANGUAGES, _, language
from trainer.printing import examination
from trainer.printing.examination import Heading
from trainer.services.examining import paper_items, printed_papers, seals, sittings
from trainer.services.examining.printed_papers import Standing
from trainer.services.keeping import sealed_papers
from trainer.services.proving.exporting import Made
from trainer.store.models import Sitting
from trainer.web import downloads
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.instructor.handouts import style
from trainer.web.reader import made_for
from trainer.web.sheets import printed_exam_sheet

Page = str | tuple[str, int] | Response
MOST_TEXT = 20_000


@bp.get("/sittings/<int:sitting_id>/on-paper")
def on_paper(sitting_id: int) -> Page:
    """The printed papers and how far each is, with the forms that print and that take marks."""
    return _page(sitting_id)


@bp.post("/sittings/<int:sitting_id>/on-paper")
def print_papers(sitting_id: int) -> Page:
    """Draw so many more numbered papers."""
    copies = request.form.get("copies", "")[:10]
    try:
        with parts().database.writing() as session:
            printed_papers.draw(
                session, parts().shelf, me().id, sitting_id, forms.whole(copies),
                lambda: secrets.randbelow(2**31), parts().clock(),
            )  # fmt: skip
    except (Refused, Conflict, NotNow) as fault:
        return _page(sitting_id, copies=copies, copies_fault=str(fault)), 422
    return redirect(url_for("instructor.on_paper", sitting_id=sitting_id), 303)


@bp.post("/sittings/<int:sitting_id>/on-paper/marks")
def type_marks(sitting_id: int) -> Page:
    """Keep what was typed in a turn; papers whose two typings agree are taken."""
    turn, text = forms.whole(request.form.get("turn", "")), request.form.get("marks", "")[:MOST_TEXT]
    try:
        with parts().database.writing() as session:
            found = printed_papers.take(session, me().id, sitting_id, turn, text, parts().clock())
            taken, differ = (sum(map(one, found)) for one in (_is_taken, _differs))
            lines = len(found)
    except (Refused, Conflict, NotNow) as fault:
        return _page(sitting_id, turn=turn, marks=text, marks_fault=str(fault)), 422
    flash(
        _(
            "%(lines)s typed: %(taken)s agree and are taken, %(differ)s differ.",
            lines=lines,
            taken=taken,
            differ=differ,
        ),
        "stop" if differ else "done",
    )
    return redirect(url_for("instructor.on_paper", sitting_id=sitting_id), 303)


@bp.get("/sittings/<int:sitting_id>/papers-<int:first>-<int:last>.pdf")
def papers_pdf(sitting_id: int, first: int, last: int) -> Page:
    """The papers with these numbers, without any key."""
    return _pdf(sitting_id, first, last, "papers")


@bp.get("/sittings/<int:sitting_id>/keys-<int:first>-<int:last>.pdf")
def keys_pdf(sitting_id: int, first: int, last: int) -> Page:
    """The marking grid and the keys of the papers with these numbers."""
    return _pdf(sitting_id, first, last, "keys")


def _pdf(sitting_id: int, first: int, last: int, what: str) -> Response:
    with parts().database.reading() as session:
        found = sittings.own_sitting(session, me().id, sitting_id)
        held = printed_papers.printed(session, me().id, sitting_id)
        rows = [row for row in held if first <= row.number <= last]
        if not rows:
            raise NotFound(_("No paper with these numbers was printed."))
        if len(rows) > printed_papers.most_at_once(found):
            raise Refused(
                _(
                    "Take at most %(most_at_once)s papers into one file.",
                    most_at_once=printed_papers.most_at_once(found),
                )
            )
        write = examination.papers if what == "papers" else examination.keys
        with made_for(request.args.get("language", "")):
            wanted = [printed_exam_sheet.paper(session, parts().shelf, style(), row) for row in rows]
            data = write(_heading(found), wanted, rows[0].printed_at)
    return downloads.response(Made(f"{what}-{sitting_id}-{first}-{last}.pdf", "application/pdf", data))


def _heading(found: Sitting) -> Heading:
    plan = Plan.of_data(found.plan)
    rules = _(
        "MT Level %(level)s. %(items)s items in %(minutes)s minutes; %(mark)s %% must be right.",
        level=found.level,
        items=plan.size,
        minutes=found.minutes,
        mark=plan.mark,
    )
    book = {"closed": _("Closed book."), "open": _("Open book: %(books)s.", books=", ".join(plan.references))}
    answers = _("Of four options one is right: fill its circle. Write a value with its unit.")
    return Heading(
        found.title, me().organisation, f"{found.kind}-{found.id}",
        " ".join(filter(None, (rules, book.get(plan.book), answers))),
    )  # fmt: skip


def _page(sitting_id: int, **typed: Any) -> str:
    with parts().database.reading() as session:
        found = sittings.own_sitting(session, me().id, sitting_id)
        held = printed_papers.printed(session, me().id, sitting_id)
        names = sittings.names(session, (paper.person_id for paper in found.papers))
        locked = sealed_papers.is_locked(session, found)
        standings = [printed_papers.standing(row) for row in held]
        whose = {paper.id: names[paper.person_id] for paper in found.papers}
        rows = [{"number": one.row.number, "state": _state(one, whose)} for one in standings]
        facts = {
            "found": found, "rows": rows, "taken": sum(map(_is_taken, standings)), "plan": Plan.of_data(found.plan),
            "most": printed_papers.most_at_once(found), "printings": printed_papers.printings(held),
            "differences": [(one.row.number, one.differences) for one in standings if _differs(one)],
            "others": [(tag, name) for tag, name in LANGUAGES.items() if tag != language()], "locked": locked, "may_seal": seals.may_be_sealed(session, found),
            "sample": _sample(printed_papers.facts_of(session, held[0])) if held and not locked else "",
        }  # fmt: skip
    return render_template("instructor/on_paper.html", **{**facts, **typed})


def _sample(items: list[dict[str, Any]]) -> str:
    """A line as it might be typed for the first paper."""
    return f"1 TV-07 {''.join('B' if paper_items.asks_question(kept) else '[1800 A]' for kept in items)}"


def _is_taken(one: Standing) -> bool:
    return one.row.paper_id is not None


def _differs(one: Standing) -> bool:
    return one.row.paper_id is None and bool(one.differences)


def _state(one: Standing, whose: dict[int, str]) -> str:
    if one.row.paper_id is not None:
        return _("taken: %(name)s", name=whose.get(one.row.paper_id, ""))
    if _differs(one):
        return _("the two typings differ")
    if one.first:
        return _("first typing is there")
    return _("second typing is there") if one.second else _("printed")
