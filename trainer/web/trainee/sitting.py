"""Sitting an examination: the code, one item a page, review, hand-in, and after the close the score."""

from __future__ import annotations

import secrets

from flask import make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import NotFound
from trainer.examinations.plan import Plan
from trainer.languages import _
from trainer.languages.numerals import reading_with
from trainer.services.examining import appeals, papers, scoring_papers
from trainer.services.examining.papers import Overwritten
from trainer.services.keeping import sealed_papers
from trainer.store.models import Paper
from trainer.web.access import decimal, me, parts
from trainer.web.closing import to_own_paper
from trainer.web.sheets import days, paper_sheet
from trainer.web.trainee import bp

Page = str | tuple[str, int] | Response
MOST_KEY = 40
# Open while a paper is being sat. A practice answer that a phone kept may still come in: it shows nothing.
OPEN_IN_A_SITTING = frozenset(
    f"trainee.{name}"
    for name in (
        "examination", "start_paper", "paper", "paper_item", "keep_item", "hand_in", "paper_verdict", "answer",
        "answer_question",
    )
)  # fmt: skip


@bp.before_request
def no_help() -> Response | None:
    """While somebody sits a paper, practice with its workings is closed to them: they are led to the paper."""
    return None if request.endpoint in OPEN_IN_A_SITTING else to_own_paper()


@bp.get("/examination")
def examination() -> Page:
    """Where the code is typed, and one's papers so far."""
    return door()


@bp.post("/examination")
def start_paper() -> Page:
    """Start or come back to the paper of an open examination."""
    code = request.form.get("code", "")[:20]
    try:
        with parts().database.writing() as session:
            paper_id = papers.start(
                session,
                parts().shelf,
                me().id,
                code,
                lambda: secrets.randbelow(2**31),
                parts().clock(),
                decimal(),
            ).id
    except NotFound as fault:
        return door(code, str(fault)), 422
    return redirect(url_for("trainee.paper", paper_id=paper_id), 303)


@bp.get("/papers/<int:paper_id>")
def paper(paper_id: int) -> Page:
    """The paper's overview: what is written, what is flagged; after the close the score."""
    _settle(paper_id)
    now = parts().clock()
    with parts().database.reading() as session:
        found = papers.own_paper(session, me().id, paper_id)
        closed, plan = found.sitting.state == "closed", Plan.of_data(found.sitting.plan)
        locked = sealed_papers.is_locked(session, found.sitting)
        facts = {
            "found": found, "answers": list(found.answers), "title": found.sitting.title,
            "state": "void" if found.void_reason is not None else found.sitting.state,
            "running": papers.is_running(found, now) and not locked, "locked": locked,
            "score": scoring_papers.score_of(found) if closed else None,
            "shown": closed and plan.shown, "plan": plan,
            "kinds": scoring_papers.by_kind(found) if closed else [],
            "appealed": appeals.of_papers(session, [paper_id]) if closed else [],
        }  # fmt: skip
    return render_template("trainee/paper.html", left=_left(found), until=_hour(found), **facts)


@bp.get("/papers/<int:paper_id>/<int:position>")
def paper_item(paper_id: int, position: int) -> Page:
    """One item: figure, what is given, the field. Nothing on it is a key."""
    _settle(paper_id)
    return _item(paper_id, position)


@bp.post("/papers/<int:paper_id>/<int:position>")
def keep_item(paper_id: int, position: int) -> Page:
    """Keep what is written, then go where the press leads: an item by its number, or the review."""
    text, flagged = request.form.get("answer", "")[:200], request.form.get("flag") == "1"
    key, over = (request.form.get(name, "")[:MOST_KEY] for name in ("key", "over"))
    try:
        with parts().database.writing() as session:
            found = papers.save(
                session, me().id, paper_id, position, text, flagged, parts().clock(), key, over
            )
            of = len(found.answers)
    except Overwritten as fault:
        return make_response(_item(paper_id, position, text, str(fault)), 422)
    if request.headers.get("X-Keep"):  # kept while it is being typed: the page stays as it is
        return Response(status=204)
    return redirect(_next(paper_id, position, of), 303)


@bp.post("/papers/<int:paper_id>/hand-in")
def hand_in(paper_id: int) -> Page:
    """Hand in the paper."""
    with parts().database.writing() as session:
        papers.hand_in(session, me().id, paper_id, parts().clock())
    return redirect(url_for("trainee.paper", paper_id=paper_id), 303)


@bp.get("/papers/<int:paper_id>/<int:position>/verdict")
def paper_verdict(paper_id: int, position: int) -> Page:
    """After the close, and only if the instructor shows it: verdict and working of one item."""
    with parts().database.reading() as session:
        found = papers.own_paper(session, me().id, paper_id)
        row = papers.item(found, position)
        if (
            found.score is None
            or found.sitting.state != "closed"
            or not Plan.of_data(found.sitting.plan).shown
        ):
            raise NotFound(_("There is nothing to see here before the close, or it is not shown."))
        sign = found.decimal or parts().settings.decimal
        with reading_with(sign):
            it = paper_sheet.verdict_view(session, parts().shelf, row, sign)
        title, of = found.sitting.title, len(found.answers)
    template = "trainee/paper_reasons.html" if it["question"] else "trainee/paper_verdict.html"
    return render_template(template, paper_id=paper_id, row=row, of=of, title=title, **it)


def _settle(paper_id: int) -> None:
    """Hand in one's paper if its time is over; only then is something written."""
    now = parts().clock()
    with parts().database.reading() as session:
        if not papers.is_over(papers.own_paper(session, me().id, paper_id), now):
            return
    with parts().database.writing() as session:
        papers.settle(session, papers.own_paper(session, me().id, paper_id).sitting, now)


def _next(paper_id: int, position: int, of: int) -> str:
    """Where the press leads. What names no item of this paper leads to the review."""
    wanted = request.form.get("go", "")
    number = position + 1 if not wanted else int(wanted) if wanted.isascii() and wanted.isdigit() else 0
    if len(wanted) < 4 and 1 <= number <= of:
        return url_for("trainee.paper_item", paper_id=paper_id, position=number)
    return url_for("trainee.paper", paper_id=paper_id)


def _item(paper_id: int, position: int, typed: str | None = None, fault: str = "") -> str | Response:
    now = parts().clock()
    with parts().database.reading() as session:
        found = papers.own_paper(session, me().id, paper_id)
        row = papers.item(found, position)
        if not papers.is_running(found, now) or sealed_papers.is_locked(session, found.sitting):
            return redirect(url_for("trainee.paper", paper_id=paper_id), 303)
        title, numbers = (
            found.sitting.title,
            [(a.position, bool(a.text.strip()), a.flagged) for a in found.answers],
        )
        # numbers stand as they will be read: with the sign of the hour the paper was begun
        with reading_with(found.decimal or parts().settings.decimal):
            view = paper_sheet.item_view(session, parts().shelf, row)
    return render_template(
        "trainee/paper_item.html", view=view, row=row, numbers=numbers,
        title=title, paper_id=paper_id, left=_left(found), until=_hour(found), key=secrets.token_hex(16),
        typed=row.text if typed is None else typed, fault=fault,
    )  # fmt: skip


def _left(paper: Paper) -> int:
    """Seconds until the deadline, by the server's clock."""
    return max(0, int((paper.deadline - papers.moment(paper, parts().clock())).total_seconds()))


def _hour(paper: Paper) -> str:
    """The deadline as the clock on the wall shows it."""
    return f"{paper.deadline.astimezone():%H:%M}"


def door(code: str = "", fault: str = "") -> str:
    """The page where the code is typed, with what was wrong with it."""
    with parts().database.reading() as session:
        own = [
            (p.id, p.sitting.title, p.sitting.state, days.day(p.started_at.date()))
            for p in papers.papers_of(session, me().id)
        ]
    return render_template("trainee/examination.html", papers=own, code=code, fault=fault)
