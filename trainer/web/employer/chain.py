"""The chain of notes in words: what was done in this house, and whether the ledger is as it was entered."""

from __future__ import annotations

from datetime import timedelta

from flask import Flask, current_app, render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.drawing.measures import seal
from trainer.languages import _
from trainer.services.keeping import audit
from trainer.services.keeping.moments import day_begins, local_day
from trainer.services.overseeing import erasing, notes
from trainer.services.proving.ledger_check import Pace
from trainer.web.access import me, parts
from trainer.web.employer import bp
from trainer.web.sheets.days import day, iso

PACE = "trainer chain"
Page = str | tuple[str, int] | Response
MOST = 50
MOST_LINKS = 100  # walked at one visit; the rest is walked beside the pages


@bp.get("/chain")
def chain() -> Page:
    """Say how far the chain holds, and show the newest notes of the house, or those of a day and before."""
    text = request.args.get("before", "")
    before = int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None
    day_asked = request.args.get("day", "").strip()[:20]
    on = iso(day_asked) if day_asked else None
    walk = pace_of(current_app).walk(MOST_LINKS)
    with parts().database.reading() as session:
        if on is not None:
            before = audit.first_since(session, day_begins(on + timedelta(days=1)))
        shown = notes.of_house(session, me().id, MOST, before)
        erased = [day(local_day(row.done_at)) for row in erasing.done(session, me().id) if row.done_at]
    return render_template(
        "employer/chain.html",
        walk=walk,
        notes=shown,
        before=before,
        day=on.isoformat() if on else day_asked,
        fault=_("This is no date. Write year, month, day: 2026-11-25.") if day_asked and on is None else "",
        erased=erased,
        seal_svg=Markup(seal("whole" if walk.broken is None else "broken")),
    )


def pace_of(app: Flask) -> Pace:
    """How far the chain of this application's store was walked; known until the trainer stops."""
    pace: Pace = app.extensions.setdefault(PACE, Pace(app.extensions["trainer"].database))
    return pace
