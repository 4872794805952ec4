"""The chain of notes in words: what was done in this house, and whether the ledger is as it was entered."""

from __future__ import annotations

from flask import render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.drawing.measures import seal
from trainer.services import ledger_check, notes
from trainer.web.access import me, parts
from trainer.web.employer import bp

Page = str | tuple[str, int] | Response
MOST = 50


@bp.get("/chain")
def chain() -> Page:
    """Walk the chain, and show the newest notes of the house."""
    text = request.args.get("before", "")
    before = int(text) if text.isascii() and text.isdigit() and len(text) < 10 else None
    with parts().database.reading() as session:
        walk = ledger_check.walk(session)
        shown = notes.of_house(session, me().id, MOST, before)
    return render_template(
        "employer/chain.html",
        walk=walk,
        notes=shown,
        seal_svg=Markup(seal("whole" if walk.broken is None else "broken")),
        further=shown[-1].seq if len(shown) == MOST else None,
    )
