"""Keys to the sheets that trainees of the house have printed."""

from __future__ import annotations

from flask import render_template
from werkzeug.wrappers import Response

from trainer.services.admitting import accounts
from trainer.services.teaching import printed
from trainer.web.access import me, parts
from trainer.web.asking import paging
from trainer.web.instructor import bp
from trainer.web.sheets import printed_sheet
from trainer.web.sheets.days import day

Page = str | tuple[str, int] | Response


@bp.get("/printed", endpoint="printed")
def all_printed() -> Page:
    """The newest sheets, each with its key."""
    with parts().database.reading() as session:
        found = printed.of_house(session, me().id, paging.asked())
        who = accounts.named(session, (row.person_id for row in found.rows))
    rows = [(row.id, who[row.person_id].name, day(row.made_at)) for row in found.rows]
    return render_template("instructor/printed.html", rows=found.showing(rows))


@bp.get("/printed/<int:sheet_id>")
def key(sheet_id: int) -> Page:
    """The key to one sheet: answers, workings, what the usual slips give."""
    with parts().database.reading() as session:
        it = printed.for_key(session, parts().shelf, me().id, sheet_id)
    keys = printed_sheet.key_views(parts().bank, it)
    return render_template("instructor/printed_key.html", it=it, keys=keys, made_on=day(it.row.made_at))
