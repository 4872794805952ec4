"""Erasing the records of people who left: from when it may be, who asked, and the second hand that does it."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, Refused
from trainer.languages import _
from trainer.services.overseeing import erasing, mentions
from trainer.services.overseeing.mentions import Mention
from trainer.web import erased_traces
from trainer.web.access import guarded_blueprint, me, parts, this_day
from trainer.web.asking import paging
from trainer.web.sheets.days import day, moment

bp = guarded_blueprint("erasures", __name__, erasing.DECIDING, "/employer/erasures")
Page = str | tuple[str, int] | Response


@bp.get("/", endpoint="erasures")
def erasures_page() -> Page:
    """Show everybody who left."""
    return _page()


@bp.post("/<int:person_id>/ask")
def ask(person_id: int) -> Page:
    """Ask for the erasure of one person."""
    keep_years, reason = parts().settings.keep_years, request.form.get("reason", "")
    try:
        with parts().database.writing() as session:
            erasing.ask(session, me().id, person_id, reason, keep_years, parts().clock())
    except (Refused, Conflict) as fault:
        return _page(person_id, str(fault)), 422
    flash(_("Asked. Somebody else, an employer or the Level III, must do it."), "done")
    return redirect(url_for("erasures.erasures"), 303)


@bp.post("/<int:person_id>/call-off")
def call_off(person_id: int) -> Page:
    """Take the asking back."""
    with parts().database.writing() as session:
        erasing.call_off(session, me().id, person_id, parts().clock())
    flash(_("Called off. The records stay."), "done")
    return redirect(url_for("erasures.erasures"), 303)


@bp.post("/<int:person_id>/erase")
def erase(person_id: int) -> Page:
    """Erase what another person asked to have erased."""
    with parts().database.writing() as session:
        erasing.erase(session, me().id, person_id, parts().clock())
    erased_traces.scrub()
    flash(_("Erased. The chain still holds; backups made before still have the records."), "done")
    return redirect(url_for("erasures.places", person_id=person_id), 303)


@bp.get("/<int:person_id>", endpoint="places")
def places_page(person_id: int) -> Page:
    """Show where somebody who was erased is still named, so that a person can decide about each place."""
    with parts().database.reading() as session:
        found = erasing.places_of(session, me().id, person_id)
    rows = [
        {
            "what": _(mentions.WORDS[one.where]),
            "key": one.key,
            "says": one.says,
            "there": _there(one),
        }
        for one in found
    ]
    return render_template("employer/places.html", number=f"ERASED-{person_id}", rows=rows)


def _there(one: Mention) -> str:
    """The page on which a place is seen, where there is one of its own."""
    if one.where == mentions.NOTE or one.where.startswith("aside."):
        return url_for("employer.chain", before=int(one.key) + 1)
    return url_for("ledger.entry", entry_id=one.key) if one.where == "entry.body" else ""


def _page(at: int = 0, fault: str = "") -> str:
    keep_years, today = parts().settings.keep_years, this_day()
    with parts().database.reading() as session:
        found = erasing.gone(session, me().id, keep_years, paging.asked())
        free = erasing.how_many_free(session, me().id, keep_years, today)
        erased = [
            (row.person_id, f"ERASED-{row.person_id}", moment(row.done_at), len(row.places or []))
            for row in erasing.done(session, me().id)
            if row.done_at
        ]
    rows = [
        {
            "id": one.person.id,
            "who": f"{one.person.works_number} {one.person.name}",
            "left": day(one.left),
            "free_from": day(one.free_from),
            "is_free": one.free_from <= today,
            "reason": one.asked.reason if one.asked else "",
            "asked": moment(one.asked.asked_at) if one.asked else "",
            "by_me": one.asked is not None and one.asked.asked_by_id == me().id,
        }
        for one in found.rows
    ]
    return render_template(
        "employer/erasures.html",
        rows=found.showing(rows),
        free=free,
        erased=erased,
        keep_years=keep_years,
        at=at,
        fault=fault,
        typed=request.form.get("reason", "")[:400],
    )
