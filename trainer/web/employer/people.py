"""The standing of one of the employer's people, by any scheme, on any day, beside another scheme if wished."""

from __future__ import annotations

from flask import render_template, url_for
from werkzeug.wrappers import Response

from trainer.services.admitting import accounts
from trainer.services.proving import exporting
from trainer.services.qualifying import standing
from trainer.web.access import me, parts
from trainer.web.asking import entering
from trainer.web.employer import bp
from trainer.web.sheets import standing_sheet

Page = str | tuple[str, int] | Response


@bp.get("/people/<int:person_id>")
def person(person_id: int) -> Page:
    """Show the standing of one person; they see the same."""
    wanted, offered = standing_sheet.asked(), standing_sheet.known()
    with parts().database.reading() as session:
        found = accounts.colleague(session, me().id, person_id)
        placed = standing.place(session, found, wanted.on, offered, wanted.scheme, wanted.level)
        other = (
            standing.place(session, found, wanted.on, offered, wanted.beside, wanted.level)
            if wanted.beside
            else None
        )
        exports = exporting.exports_of(session, person_id)
    return render_template(
        "employer/person.html",
        s=standing_sheet.sheet(placed, wanted, entering.entry_address("ledger.entry")),
        choosers=standing_sheet.choosers(),
        person=found,
        may=placed.outline.may_work,
        compared=standing_sheet.compared(placed, other) if other else [],
        beside=standing_sheet.scheme_words(other.standing.scheme) if other else "",
        action=url_for("employer.person", person_id=person_id),
        exports=len(exports),
    )
