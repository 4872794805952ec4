"""The ledger for those who see to it: what waits for a countersignature, and the entries of each person."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, Refused, Unreadable
from trainer.languages import _
from trainer.services.admitting import accounts, entitlements
from trainer.services.admitting.particulars import ROLE_WORDS
from trainer.services.keeping.paging import Wish
from trainer.services.qualifying import countersigning, entry_readings, ledger, ledger_lines
from trainer.services.qualifying.entry_readings import NotAsRead
from trainer.store.models import Person
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import entering, evidencing, paging
from trainer.web.asking.forms import whole
from trainer.web.sheets.ledger_sheet import entry_view, entry_views, reading_views

bp = guarded_blueprint("ledger", __name__, entitlements.OVERSEEING, "/ledger")
Page = str | tuple[str, int] | Response
MOST = 10  # entries before a person at once: as many as can be read with care


@bp.get("/")
def waiting() -> Page:
    """Show what the asker may countersign, some entries at a time, each with all its facts and its evidence."""
    return _waiting(paging.asked(rows=MOST))


@bp.post("/sign")
def sign() -> Page:
    """Countersign the entries that were ticked, all or none, each as its page showed it."""
    ticked = {
        name[:40]: request.form.get(f"edition-{name[:40]}", "") for name in request.form.getlist("entry")
    }
    if not ticked:
        said = _("Nothing is ticked. Read an entry, tick it, then countersign.")
        return _waiting(Wish(whole(request.form.get("page", "")) or 1, rows=MOST), {"": said}), 422
    role = request.form.get("role", "")
    try:
        with parts().database.writing() as session:
            count = entry_readings.countersign(session, ticked, me().id, parts().clock(), role)
    except NotAsRead as refused:
        return _waiting(Wish(rows=MOST), refused.faults, list(ticked)), 409
    flash(_("Countersigned: %(count)s. They count from now on.", count=count), "done")
    return redirect(url_for("ledger.waiting"), 303)


@bp.get("/people")
def people() -> Page:
    """Show everybody whose ledger the asker may read."""
    with parts().database.reading() as session:
        found = accounts.page(session, entitlements.overseen_people(session, me().id), paging.asked())
    return render_template("instructor/ledger_people.html", people=found)


@bp.get("/people/<int:person_id>")
def person(person_id: int) -> Page:
    """Show the ledger of one person, and what may be entered."""
    with parts().database.reading() as session:
        found = entitlements.overseen(session, me().id, person_id)
        entries = ledger.newest_of(session, person_id, paging.asked())
        lines = ledger_lines.lines(session, entries.rows)
    return render_template(
        "instructor/ledger.html",
        person=found,
        entries=entries.showing(entry_views(lines)),
        kinds=entering.offered(about_self=person_id == me().id),
    )


@bp.get("/people/<int:person_id>/enter/<kind>")
def enter_form(person_id: int, kind: str) -> Page:
    """Show the form that makes one entry about a person."""
    return entering.show(_fetch(person_id), kind, *_addresses(person_id, kind))


@bp.post("/people/<int:person_id>/enter/<kind>")
def enter(person_id: int, kind: str) -> Page:
    """Make one entry about a person."""
    return entering.send(_fetch(person_id), kind, *_addresses(person_id, kind))


@bp.get("/entries/<entry_id>")
def entry(entry_id: str) -> Page:
    """Show one entry with all its facts, and what may be done about it."""
    return _entry(entry_id)


@bp.post("/entries/<entry_id>/reverse")
def reverse(entry_id: str) -> Page:
    """Refuse or reverse an entry, with the reason."""
    try:
        with parts().database.writing() as session:
            undone = ledger.reverse(
                session, entry_id, request.form.get("reason", ""), me().id, parts().clock()
            )
    except Refused as fault:
        return _entry(entry_id, str(fault)), 422
    flash(
        _(
            "%(entry)s is reversed by %(id)s; the reason stands with it.",
            entry=undone.body["reverses"],
            id=undone.id,
        ),
        "done",
    )
    return redirect(url_for("ledger.entry", entry_id=entry_id), 303)


@bp.post("/entries/<entry_id>/evidence")
def attach(entry_id: str) -> Page:
    """Keep a file with an entry."""
    try:
        evidencing.take(entry_id[:40])
    except (Refused, Conflict, Unreadable) as fault:
        return _entry(entry_id, file_fault=str(fault)), 422
    flash(_("Attached. Its digest stands in the chain."), "done")
    return redirect(url_for("ledger.entry", entry_id=entry_id), 303)


@bp.get("/evidence/<int:file_id>")
def evidence_file(file_id: int) -> Page:
    """Hand out a file of an entry, to be saved."""
    return evidencing.hand_out(file_id)


def _waiting(wish: Wish, faults: Mapping[str, str] | None = None, ticked: Sequence[str] = ()) -> str:
    """One page of what waits, or the page on which the first ticked entry stands; it is remembered as read."""
    with parts().database.reading() as session:
        place = countersigning.place(session, me().id, ticked)
        if place is not None:
            wish = replace(wish, number=place // MOST + 1)
        found = countersigning.page(session, me().id, wish)
        pages = entry_readings.pages(session, me().id, found.rows)
        views = found.showing(reading_views(ledger_lines.lines(session, found.rows), pages))
    _remember(pages)
    roles = [role for role in entitlements.ORDER if role in me().roles & entitlements.OVERSEEING]
    return render_template(
        "instructor/countersign.html",
        entries=views,
        roles=[(role, _(ROLE_WORDS[role])) for role in roles],
        role=request.form.get("role", "")[:40],
        faults=faults or {},
        ticked=[one for one in ticked if one not in (faults or {})],
    )


def _remember(pages: Sequence[entry_readings.Page]) -> None:
    """Keep what was before the asker; a page that was before them as it stands is not written again."""
    fresh = [page for page in pages if not page.is_read]
    if fresh:
        with parts().database.writing() as session:
            entry_readings.remember(session, me().id, fresh, parts().clock())


def _entry(entry_id: str, fault: str = "", file_fault: str = "") -> str:
    with parts().database.reading() as session:
        row = ledger.one(session, me().id, entry_id[:40])
        shown = entry_view(ledger_lines.lines(session, [row])[0])
        may_sign = countersigning.place(session, me().id, [row.id]) is not None
        (page,) = entry_readings.pages(session, me().id, [row])
        reached = entitlements.overseen_people(session, me().id).where(Person.id == row.person_id)
        overseen = session.scalar(reached) is not None
    if may_sign:
        _remember([page])
    typed = request.form.get("reason", "")[:4000]
    return render_template(
        "instructor/ledger_entry.html",
        entry=shown,
        fault=fault,
        files=evidencing.file_views(page.files),
        file_fault=file_fault,
        typed=typed,
        may_sign=may_sign,
        edition=page.edition,
        overseen=overseen,
    )


def _fetch(person_id: int) -> entitlements.Fetch:
    by_id = me().id
    return lambda session: entitlements.overseen(session, by_id, person_id)


def _addresses(person_id: int, kind: str) -> tuple[str, str]:
    there = url_for("ledger.enter", person_id=person_id, kind=kind)
    return there, url_for("ledger.person", person_id=person_id)
