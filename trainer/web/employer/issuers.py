"""Whose signatures are believed here: the list, and what may be done to it."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, NotFound, Refused, Unreadable
from trainer.languages import _
from trainer.records.issuers import find
from trainer.services.admitting.particulars import role_words
from trainer.services.proving import issuers, key_rotation, personal_keys
from trainer.services.proving.exporting import Made
from trainer.web import downloads
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.sheets.days import day, iso, moment

bp = guarded_blueprint("issuers", __name__, {"employer"}, "/employer/issuers")
Page = str | tuple[str, int] | Response
MOST_BYTES = 200_000
BESIDE = "beside"


@bp.get("/", endpoint="issuers")
def issuers_page() -> Page:
    """Show the list."""
    return _page()


@bp.post("/pin")
def pin() -> Page:
    """Put a key on the list."""
    typed = {name: request.form.get(name, "")[:400] for name in ("did", "name", "reason", "may")}
    try:
        with parts().database.writing() as session:
            instance, now = parts().settings.instance, parts().clock()
            issuers.pin(
                session, instance, me().id, typed["did"], typed["name"], typed["reason"], now,
                beside_only=typed["may"] == BESIDE,
            )  # fmt: skip
    except (Refused, Conflict, Unreadable) as fault:
        return _page("pin", str(fault), typed), 422
    flash(_("The key is on your list. Records that it signs are believed from now on."), "done")
    return redirect(url_for("issuers.issuers"), 303)


@bp.post("/unpin")
def unpin() -> Page:
    """Take a key off the list, or believe it up to a day only."""
    typed = {name: request.form.get(name, "")[:400] for name in ("did", "until", "reason")}
    until = iso(typed["until"])
    try:
        if typed["until"].strip() and until is None:
            raise Refused(_("Write the day as year, month, day: 2026-11-25, or leave it empty."))
        own = downloads.own_key().did
        with parts().database.writing() as session:
            instance, now = parts().settings.instance, parts().clock()
            issuers.unpin(session, instance, me().id, typed["did"], own, typed["reason"], until, now)
    except (Refused, Unreadable) as fault:
        return _page(typed["did"], str(fault), typed), 422
    flash(_("The list is changed."), "done")
    return redirect(url_for("issuers.issuers"), 303)


@bp.post("/accept")
def accept() -> Page:
    """Take up a new key that a key on the list introduces."""
    sent = request.files.get("file")
    try:
        data = sent.read(MOST_BYTES + 1) if sent else b""
        if not data or len(data) > MOST_BYTES:
            raise Refused(_("Choose the introduction file that the issuer sent, a few kB long."))
        with parts().database.writing() as session:
            new = issuers.accept(session, parts().settings.instance, me().id, data, parts().clock())
    except (Refused, Unreadable) as fault:
        return _page("accept", str(fault)), 422
    flash(
        _(
            "The new key of %(name)s is on your list; the old one counts for what it signed before.",
            name=new.name,
        ),
        "done",
    )
    return redirect(url_for("issuers.issuers"), 303)


@bp.post("/introductions/<int:number>")
def introduction(number: int) -> Page:
    """Hand out the introduction of a key of this installation, the oldest being number 1."""
    files = key_rotation.introductions(parts().settings.instance)
    if not 1 <= number <= len(files):
        raise NotFound(_("There is no such introduction."))
    data = files[number - 1].read_bytes()
    return downloads.response(Made(f"new-key-{number}.json", "application/json", data))


def _page(at: str = "", fault: str = "", typed: dict[str, str] | None = None) -> str:
    own = downloads.own_key().did
    with parts().database.reading() as session:
        held = issuers.of_house(session, parts().settings.instance, me().id)
        decided = issuers.decisions(session, me().id)
        people = personal_keys.of_house(session, me().id)
    rows = [
        {
            "name": one.name,
            "did": one.did,
            "days": _days(day(one.valid_from), day(one.valid_to)),
            "since": _("%(moment)s by %(name)s", moment=moment(decided[one.did][0]), name=decided[one.did][1])
            if one.did in decided
            else _("from the file of the installation"),
            "own": one.did == own,
            "beside_only": one.beside_only,
        }
        for one in held
    ]
    return render_template(
        "employer/issuers.html",
        rows=rows,
        people=[
            {"name": person.name, "roles": role_words(person.roles), "did": key.did}
            for person, key in people
            if find(held, key.did) is None
        ],
        at=at,
        fault=fault,
        typed=typed or {},
        own=own,
        introductions=len(key_rotation.introductions(parts().settings.instance)),
    )


def _days(first: str, last: str) -> str:
    if first and last:
        return _("%(first)s to %(last)s", first=first, last=last)
    return (
        _("from %(first)s", first=first)
        if first
        else _("until %(last)s", last=last)
        if last
        else _("no limit")
    )
