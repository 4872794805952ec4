"""One draft: how it stands, what was done with it, and what may be done next."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import accounts
from trainer.services.authoring import drafts
from trainer.web import shelving
from trainer.web.access import me, parts
from trainer.web.instructor.drafts import bp, checked
from trainer.web.sheets import draft_sheet

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Page = str | tuple[str, int] | Response
MOST_TYPED = 400


@bp.get("/<int:draft_id>")
def draft(draft_id: int) -> Page:
    """The newest wording as somebody will meet it, its faults, its history."""
    return _page(draft_id)


@bp.get("/<int:draft_id>/changes/<int:number>")
def changes_of_draft(draft_id: int, number: int) -> Page:
    """What a revision changed against the one before."""
    with parts().database.reading() as session:
        found = drafts.one(session, me().id, draft_id)
    if not 2 <= number <= len(found.revisions):
        raise NotFound(_("There is no such revision to compare."))
    before, after = found.revisions[number - 2 : number]
    return render_template(
        "instructor/draft_changes.html", draft_id=draft_id, number=number,
        changes=draft_sheet.changes(before.text, after.text),
    )  # fmt: skip


@bp.post("/<int:draft_id>/put-forward")
def put_forward(draft_id: int) -> Page:
    """Ask for a second person's approval."""
    return _done(
        draft_id,
        lambda session: drafts.put_forward(
            session, parts().shelf, me().id, draft_id, _number(), parts().clock()
        ),
        N_("Put forward. Somebody else who examines reads it now and approves it or sends it back."),
    )


@bp.post("/<int:draft_id>/approve")
def approve_draft(draft_id: int) -> Page:
    """Approve it as a second person; it is in the bank at once."""
    folder = parts().settings.private_bank
    return _done(
        draft_id,
        lambda session: drafts.approve(
            session, parts().shelf, folder, me().id, draft_id, _number(), parts().clock()
        ),
        N_("Approved. It is in the bank from now on."),
        bank=True,
    )


@bp.post("/<int:draft_id>/send-back")
def send_back(draft_id: int) -> Page:
    """Do not approve it, and say why."""
    return _done(
        draft_id,
        lambda session: drafts.send_back(session, me().id, draft_id, _number(), _reason(), parts().clock()),
        N_("Sent back with your reason."),
    )


@bp.post("/<int:draft_id>/withdraw")
def withdraw_draft(draft_id: int) -> Page:
    """Take it out of the bank, or off the list of what is to be done."""
    return _done(
        draft_id,
        lambda session: drafts.withdraw(
            session, parts().bank, me().id, draft_id, _number(), _reason(), parts().clock()
        ),
        N_("Withdrawn. Its wordings and your reason stay readable; nobody is asked it any more."),
        bank=True,
    )


def _done(draft_id: int, deed: Callable[[Session], None], says: str, bank: bool = False) -> Page:
    """Do one thing with a draft, then show how it stands; what is refused is said there."""
    try:
        with parts().database.writing() as session:
            deed(session)
        if bank:
            shelving.take_up()
    except (Refused, Conflict) as fault:
        return _page(draft_id, str(fault)), fault.status
    flash(_(says), "done")
    return redirect(url_for("drafts.draft", draft_id=draft_id), 303)


def _page(draft_id: int, fault: str = "") -> str:
    with parts().database.reading() as session:
        found = drafts.one(session, me().id, draft_id)
        by_id = accounts.named(session, drafts.people_in(found))
    row, text = draft_sheet.row(found, by_id), drafts.newest(found).text
    own = me().id in drafts.authors(found)
    left_out = drafts.own_id(found) not in {"", *parts().bank.private}
    return render_template(
        "instructor/draft.html", row=row, deeds=draft_sheet.deeds(found, by_id), fault=fault, own=own,
        may_put_forward=row["state"] == drafts.OPEN, waits=row["state"] == drafts.WAITS,
        may_withdraw=row["state"] != "withdrawn", left_out=left_out, typed=_reason()[:MOST_TYPED],
        **checked(found.kind, text, found.id, drafts.own_id(found)),
    )  # fmt: skip


def _number() -> int:
    return request.form.get("number", 0, type=int)


def _reason() -> str:
    return request.form.get("reason", "")
