"""What is closed to somebody who is sitting a paper."""

from __future__ import annotations

from flask import Blueprint, redirect, url_for
from werkzeug.wrappers import Response

from trainer.services.examining import papers
from trainer.web.access import me, parts


def closed_in_a_sitting(bp: Blueprint) -> Blueprint:
    """Close all pages of a room to whoever sits a paper: they tell keys or workings, or do the sum."""
    bp.before_request(to_own_paper)
    return bp


def to_own_paper() -> Response | None:
    """The way to the paper that the asking person is sitting; None if they sit none."""
    if not me().sits:  # known from who is asking; which paper, and whether its time is over, is asked here
        return None
    with parts().database.reading() as session:
        found = papers.being_sat(session, me().id, parts().clock())
    return redirect(url_for("trainee.paper", paper_id=found.id), 303) if found is not None else None
