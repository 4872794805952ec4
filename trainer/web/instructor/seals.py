"""The passphrase of an examination: sealed before anything is drawn, unlocked after a start; time lost meanwhile."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from werkzeug.wrappers import Response

from trainer.languages import _, ngettext
from trainer.services.examining import invigilation, seals, sittings
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.asking.sitting_forms import ExtraTime, SealForm, UnlockForm
from trainer.web.instructor import bp
from trainer.web.instructor.sittings import board

Page = str | tuple[str, int] | Response


@bp.post("/sittings/<int:sitting_id>/seal")
def seal_sitting(sitting_id: int) -> Page:
    """Seal it with a passphrase, and open it if that was pressed."""
    form = SealForm()
    new = form.fresh()
    if new is None:
        return board(sitting_id, seal=form), 422
    with parts().database.writing() as session:
        seals.seal(session, me().id, sitting_id, new, parts().clock())
        if request.form.get("do") == "open":
            sittings.open_sitting(session, me().id, sitting_id, parts().clock())
    return _back(sitting_id)


@bp.post("/sittings/<int:sitting_id>/unlock")
def unlock_sitting(sitting_id: int) -> Page:
    """Unlock it with its passphrase after the program was started anew."""
    form = UnlockForm(prefix="unlock-")
    with parts().database.reading() as session:
        kept = seals.of_sitting(session, me().id, sitting_id)
    key = form.key(kept)
    if key is None:
        return board(sitting_id, unlock=form), 422
    with parts().database.writing() as session:
        state = seals.unlock(session, me().id, sitting_id, key, parts().clock()).state
    if state == "void":
        parts().database.keyring.forget(sitting_id)
    flash(
        _("Unlocked.") if state != "open" else _("Unlocked. Give everybody the time that was lost."), "done"
    )
    return _back(sitting_id)


@bp.post("/sittings/<int:sitting_id>/time")
def time_for_all(sitting_id: int) -> Page:
    """Give everybody who was writing the same minutes more."""
    form = ExtraTime(prefix="all-")
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            count = invigilation.time_for_all(
                session, me().id, sitting_id, forms.whole(form.minutes.data), form.reason.data,
                parts().clock(),
            )  # fmt: skip
        if not form.errors:
            flash(
                ngettext("%(n)s paper has the minutes more.", "%(n)s papers have the minutes more.", count),
                "done",
            )
            return _back(sitting_id)
    return board(sitting_id, time=form), 422


def _back(sitting_id: int) -> Response:
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)
