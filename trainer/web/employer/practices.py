"""The written practice of the house: its revisions, drafting another, and the Level III's decision."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import NotFound, Refused
from trainer.languages import NP_, _
from trainer.qualification import Scheme
from trainer.qualification.overrides import overridable
from trainer.services.admitting import accounts
from trainer.services.qualifying import practices
from trainer.services.qualifying.practices import BadDraft
from trainer.store.models import PracticeRevision
from trainer.web.access import guarded_blueprint, me, parts, this_day
from trainer.web.sheets import practice_sheet, standing_sheet
from trainer.web.sheets.days import day, iso, moment
from trainer.web.sheets.standing_sheet import scheme_words

bp = guarded_blueprint("practices", __name__, practices.DRAFTING, "/employer/practices")
Page = str | tuple[str, int] | Response
MOST_TYPED = 400


@bp.get("/", endpoint="practices")
def practices_page() -> Page:
    """Show every revision, the one in force on each edition first told."""
    known, today = standing_sheet.known(), this_day()
    with parts().database.reading() as session:
        home = accounts.colleague(session, me().id, me().id).organisation_id
        rows = practices.of_house(session, me().id)
        approved = practices.approved(session, home, known)
    in_force = {name: one.practice_on(today) for name, one in approved.items()}
    held = [
        _(
            "%(scheme)s: revision %(revision)s, in force from %(in_force)s",
            scheme=scheme_words(known[name]),
            revision=one.revision,
            in_force=day(one.in_force),
        )
        for name, one in in_force.items()
        if one
    ]
    return render_template(
        "employer/practices.html",
        in_force=held,
        rows=[_row(row, known) for row in rows],
        schemes=[(one.id, scheme_words(one)) for one in known.values() if overridable(one)],
    )


@bp.get("/draft")
def draft_form() -> Page:
    """Show the figures of an edition, filled in as the newest revision on it sets them."""
    scheme = _scheme(request.args.get("scheme", ""))
    with parts().database.reading() as session:
        rows = [row for row in practices.of_house(session, me().id) if row.based_on == scheme.id]
    typed = practice_sheet.as_typed(rows[0]) if rows else {}
    head = {"revision": _next(rows), "in_force": this_day().isoformat()}
    return _form(scheme, typed, head)


@bp.post("/draft")
def draft() -> Page:
    """Draft a revision from what was typed, or show the form again with its fault and everything typed."""
    scheme = _scheme(request.form.get("scheme", ""))
    head = {name: request.form.get(name, "")[:MOST_TYPED] for name in ("revision", "in_force")}
    typed = {key: _typed(key) for key in overridable(scheme)}
    set_ones = {key: pair for key, pair in typed.items() if pair[0].strip() or pair[1].strip()}
    try:
        in_force = iso(head["in_force"])
        if in_force is None:
            raise BadDraft(_("Write the day as year, month, day: 2026-11-25"), "in_force")
        with parts().database.writing() as session:
            row = practices.draft(
                session, me().id, scheme, head["revision"], in_force, set_ones, parts().clock()
            )
    except BadDraft as fault:
        return _form(scheme, typed, head, fault.field, str(fault)), 422
    flash(_("Drafted. It judges nobody until the Level III has approved it."), "done")
    return redirect(url_for("practices.revision", revision_id=row.id), 303)


@bp.get("/<int:revision_id>")
def revision(revision_id: int) -> Page:
    """Show one revision: what it changes against the edition, by whom it was drafted and decided."""
    return _revision(revision_id)


@bp.post("/<int:revision_id>/approve")
def approve(revision_id: int) -> Page:
    """Let a revision come into force."""
    try:
        with parts().database.writing() as session:
            practices.approve(session, me().id, revision_id, parts().clock())
    except Refused as fault:
        return _revision(revision_id, str(fault)), 422
    flash(_("Approved. From its day on people are judged by it; what was judged before stands."), "done")
    return redirect(url_for("practices.revision", revision_id=revision_id), 303)


@bp.post("/<int:revision_id>/refuse")
def refuse(revision_id: int) -> Page:
    """Refuse a revision, or take back one's own, with the reason."""
    reason = request.form.get("reason", "")
    try:
        with parts().database.writing() as session:
            practices.refuse(session, me().id, revision_id, reason, parts().clock())
    except Refused as fault:
        return _revision(revision_id, str(fault)), 422
    flash(_("Refused. The revision and the reason stay readable."), "done")
    return redirect(url_for("practices.practices"), 303)


def _revision(revision_id: int, fault: str = "") -> str:
    known = standing_sheet.known()
    with parts().database.reading() as session:
        row = practices.one(session, me().id, revision_id)
        hands = (row.drafted_by_id, row.decision.person_id if row.decision else None)
        by_id = accounts.named(session, hands)
    scheme, decision = known.get(row.based_on), row.decision
    own = row.drafted_by_id == me().id
    practice = practices.as_practice(row, scheme) if scheme else None
    return render_template(
        "employer/practice.html",
        row=_row(row, known),
        revision_id=row.id,
        changes=practice_sheet.changes(scheme, practice) if scheme and practice else [],
        known=scheme is not None,
        drafted=f"{by_id[row.drafted_by_id].name}, {moment(row.drafted_at)}",
        decided=f"{by_id[decision.person_id].name}, {moment(decision.decided_at)}" if decision else "",
        may_approve=decision is None and not own and "level_iii" in me().roles,
        may_refuse=decision is None and (own or "level_iii" in me().roles),
        own=own,
        fault=fault,
        typed=request.form.get("reason", "")[:MOST_TYPED],
    )


def _row(row: PracticeRevision, known: Mapping[str, Scheme]) -> dict[str, Any]:
    decision = row.decision
    state = (
        NP_("written practice", "waits for the Level III")
        if decision is None
        else NP_("written practice", "approved")
        if decision.approved
        else NP_("written practice", "refused")
    )
    return {
        "id": row.id,
        "revision": row.revision,
        "edition": scheme_words(known[row.based_on]) if row.based_on in known else row.based_on,
        "in_force": day(row.in_force),
        "count": len(row.overrides),
        "state": state,
        "open": decision is None,
        "reason": decision.reason if decision else "",
    }


def _form(
    scheme: Scheme,
    typed: Mapping[str, tuple[str, str]],
    head: dict[str, str],
    faulty: str = "",
    fault: str = "",
) -> str:
    return render_template(
        "employer/practice_form.html",
        scheme_id=scheme.id,
        edition=scheme_words(scheme),
        laxer=scheme.overrides == "any",
        figures=practice_sheet.figures(scheme, typed, faulty, fault),
        head=head,
        faulty=faulty,
        fault=fault,
    )


def _typed(key: str) -> tuple[str, str]:
    value, reason = (request.form.get(f"{name}-{key}", "")[:MOST_TYPED] for name in ("value", "reason"))
    return value, reason


def _scheme(scheme_id: str) -> Scheme:
    found = standing_sheet.known().get(scheme_id)
    if found is None or not overridable(found):
        raise NotFound(_("There is no such edition to derive a written practice from. Choose one offered."))
    return found


def _next(rows: list[PracticeRevision]) -> str:
    """The number after the newest revision's, where that is a number."""
    newest = rows[0].revision if rows else "0"
    return str(int(newest) + 1) if newest.isascii() and newest.isdigit() and len(newest) < 6 else ""
