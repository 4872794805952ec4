"""The chain of notes in words: what was done in this house, and whether the ledger is as it was entered."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import current_app, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.drawing.measures import seal
from trainer.services import erasing, ledger_check, notes
from trainer.services.audit import Walk
from trainer.services.ledger_check import Reached
from trainer.services.moments import local_day
from trainer.web.access import me, parts
from trainer.web.days import day
from trainer.web.employer import bp

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

REACHED = "trainer chain reached"
Page = str | tuple[str, int] | Response
MOST = 50
MOST_LINKS = 10_000  # walked at one visit: a chain of many years must not hold the page up


@bp.get("/chain")
def chain() -> Page:
    """Walk the chain on from where the last visit came to, and show the newest notes of the house."""
    text = request.args.get("before", "")
    before = int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None
    with parts().database.reading() as session:
        walk = _walk(session)
        shown = notes.of_house(session, me().id, MOST, before)
        erased = [day(local_day(row.done_at)) for row in erasing.done(session, me().id) if row.done_at]
    return render_template(
        "employer/chain.html",
        walk=walk,
        notes=shown,
        erased=erased,
        seal_svg=Markup(seal("whole" if walk.broken is None else "broken")),
        further=shown[-1].seq if len(shown) == MOST else None,
    )


def _walk(session: Session) -> Walk:
    """One stretch of the chain; how far it was walked is known until the trainer stops."""
    held = current_app.extensions
    walk, held[REACHED] = ledger_check.walk_on(session, held.get(REACHED, Reached()), MOST_LINKS)
    return walk
