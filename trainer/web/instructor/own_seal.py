"""The passphrase of own items: given once, asked for after a start."""

from __future__ import annotations

from flask import flash, redirect, url_for
from werkzeug.wrappers import Response

from trainer.errors import NotFound
from trainer.languages import _
from trainer.services.authoring import own_seal
from trainer.web import erased_traces, shelving
from trainer.web.access import me, parts
from trainer.web.asking.sitting_forms import OwnSealForm, OwnUnlockForm
from trainer.web.instructor.drafts import bp, page

Page = str | tuple[str, int] | Response


@bp.post("/seal")
def seal_own_items() -> Page:
    """Seal drafts and own items for examinations with a passphrase, those that lie in plain already too."""
    form = OwnSealForm()
    new = form.fresh()
    if new is None:
        return page(seal=form), 422
    with parts().database.writing() as session:
        own_seal.seal(session, me().id, new, parts().clock())
    shelving.take_up()
    erased_traces.scrub()
    flash(_("Sealed. Backups made before still have these items in plain."), "done")
    return redirect(url_for("drafts.all_drafts"), 303)


@bp.post("/unlock")
def unlock_own_items() -> Page:
    """Unlock them after the program was started anew; then they are in the bank again."""
    form = OwnUnlockForm(prefix="unlock-")
    with parts().database.reading() as session:
        kept = own_seal.of_house(session, me().id)
    if kept is None:
        raise NotFound(_("There is no passphrase of own items to unlock."))
    key = form.key(kept)
    if key is None:
        return page(unlock=form), 422
    with parts().database.writing() as session:
        own_seal.unlock(session, me().id, key, parts().clock())
    shelving.take_up()
    flash(_("Unlocked. The own items for examinations are in the bank again."), "done")
    return redirect(url_for("drafts.all_drafts"), 303)
