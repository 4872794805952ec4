"""Sitting a drill examination: the code, one item a page, review, hand-in, and after the close the score."""

from __future__ import annotations

import secrets

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import NotFound
from trainer.services import editions, sittings
from trainer.web import presenting
from trainer.web.access import me, parts
from trainer.web.trainee import bp

Page = str | tuple[str, int] | Response


@bp.get("/examination")
def examination() -> Page:
    """Where the code is typed, and one's papers so far."""
    return _door()


@bp.post("/examination")
def start_paper() -> Page:
    """Start or come back to the paper of an open examination."""
    code = request.form.get("code", "")[:20]
    try:
        with parts().database.writing() as session:
            paper = sittings.start(
                session, parts().shelf, me().id, code, lambda: secrets.randbelow(2**31), parts().clock()
            )
            paper_id = paper.id
    except NotFound as fault:
        return _door(code, str(fault)), 422
    return redirect(url_for("trainee.paper", paper_id=paper_id), 303)


@bp.get("/papers/<int:paper_id>")
def paper(paper_id: int) -> Page:
    """The paper's overview: what is written, what is flagged; after the close the score."""
    now = parts().clock()
    with parts().database.reading() as session:
        found = sittings.own_paper(session, me().id, paper_id)
        running, closed = sittings.is_running(found, now), found.sitting.state == "closed"
        answers, title, state = list(found.answers), found.sitting.title, found.sitting.state
        score = sittings.score_of(found) if closed else None
    left = max(0, int((found.deadline - now).total_seconds()))
    return render_template(
        "trainee/paper.html",
        found=found,
        answers=answers,
        running=running,
        closed=closed,
        state=state,
        score=score,
        title=title,
        left=left,
    )


@bp.get("/papers/<int:paper_id>/<int:position>")
def paper_item(paper_id: int, position: int) -> Page:
    """One item: figure, what is given, the field. Nothing on it is a key."""
    now = parts().clock()
    with parts().database.reading() as session:
        found = sittings.own_paper(session, me().id, paper_id)
        if not sittings.is_running(found, now):
            return redirect(url_for("trainee.paper", paper_id=paper_id), 303)
        row, of, title = sittings.item(found, position), len(found.answers), found.sitting.title
        mould, drawn = parts().shelf.stored(editions.content(session, row.exercise["edition"]), row.exercise)
    return render_template(
        "trainee/paper_item.html", view=presenting.exercise_view(mould, drawn), row=row, of=of, title=title,
        paper_id=paper_id, left=max(0, int((found.deadline - now).total_seconds())), until=found.deadline,
        key=secrets.token_hex(16),
    )  # fmt: skip


@bp.post("/papers/<int:paper_id>/<int:position>")
def keep_item(paper_id: int, position: int) -> Page:
    """Keep what is written and go on to the next item (or to the review after the last)."""
    text, flagged = request.form.get("answer", "")[:200], request.form.get("flag") == "1"
    with parts().database.writing() as session:
        found = sittings.save(session, me().id, paper_id, position, text, flagged, parts().clock())
        last = position >= len(found.answers)
    if last:
        return redirect(url_for("trainee.paper", paper_id=paper_id), 303)
    return redirect(url_for("trainee.paper_item", paper_id=paper_id, position=position + 1), 303)


@bp.post("/papers/<int:paper_id>/hand-in")
def hand_in(paper_id: int) -> Page:
    """Hand in the paper."""
    with parts().database.writing() as session:
        sittings.hand_in(session, me().id, paper_id, parts().clock())
    return redirect(url_for("trainee.paper", paper_id=paper_id), 303)


def _door(code: str = "", fault: str = "") -> str:
    with parts().database.reading() as session:
        papers = [
            (p.id, p.sitting.title, p.sitting.state, p.started_at)
            for p in sittings.papers_of(session, me().id)
        ]
    return render_template("trainee/examination.html", papers=papers, code=code, fault=fault)
