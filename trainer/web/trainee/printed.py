"""A sheet to work on paper: one's own next exercises, with fresh numbers."""

from __future__ import annotations

import secrets

from flask import redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.services.teaching import printed, wanted
from trainer.web.access import me, parts
from trainer.web.sheets import printed_sheet
from trainer.web.sheets.days import day
from trainer.web.trainee import bp

Page = str | tuple[str, int] | Response


@bp.post("/printed")
def print_sheet() -> Page:
    """Draw a sheet of what is next for this person."""
    with parts().database.writing() as session:
        lines, _sets = wanted.lines_for(session, parts().shelf, me().id, parts().clock())
        row = printed.make(session, parts().shelf, me().id, lines, secrets.randbelow(2**31), parts().clock())
        sheet_id = row.id
    return redirect(url_for("trainee.printed", sheet_id=sheet_id), 303)


@bp.get("/printed/<int:sheet_id>", endpoint="printed")
def show_sheet(sheet_id: int) -> Page:
    """The sheet, ready for the printer; its key is the instructor's."""
    with parts().database.reading() as session:
        it = printed.own(session, parts().shelf, me().id, sheet_id)
    questions = printed_sheet.question_views(it, me().habits.lengths)
    made_on = day(it.row.made_at)
    return render_template("trainee/printed.html", it=it, questions=questions, made_on=made_on)
