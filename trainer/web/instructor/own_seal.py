"""The passphrase of own items: given, asked for after a start, changed, taken off."""

from __future__ import annotations

from flask import flash, redirect, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.authoring import own_seal
from trainer.services.keeping import passphrase_keys
from trainer.store.models import OwnSeal
from trainer.web import erased_traces, shelving
from trainer.web.access import me, parts
from trainer.web.asking.passphrases import AnotherPassphrase
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
    erased_traces.scrub()
    return _back(_("Sealed. Backups made before still have these items in plain."))


@bp.post("/unlock")
def unlock_own_items() -> Page:
    """Unlock them after the program was started anew; then they are in the bank again."""
    form = OwnUnlockForm(prefix="unlock-")
    kept = _kept()
    key = form.key(kept)
    if key is None:
        return page(unlock=form), 422
    with parts().database.writing() as session:
        own_seal.unlock(session, me().id, kept, key, parts().clock())
    return _back(_("Unlocked. The own items for examinations are in the bank again."))


@bp.post("/seal/change")
def seal_own_items_anew() -> Page:
    """Seal everything anew under another passphrase."""
    form = AnotherPassphrase(prefix="change-")
    kept = _kept()
    new = form.fresh()
    if new is not None:
        with form.taking("old"):
            old = passphrase_keys.key_behind(kept, form.old.data)
            with parts().database.writing() as session:
                own_seal.change(session, me().id, kept, old, new, parts().clock())
    if form.errors:
        return page(change=form), 422
    erased_traces.scrub()
    return _back(_("Sealed anew. The passphrase until now opens only copies and backups made until now."))


@bp.post("/seal/off")
def lay_open_own_items() -> Page:
    """Take the passphrase off: drafts and own items for examinations lie in plain from now on."""
    form = OwnUnlockForm(prefix="off-")
    kept = _kept()
    key = form.key(kept)
    if key is None:
        return page(off=form), 422
    with parts().database.writing() as session:
        own_seal.take_off(session, me().id, kept, key, parts().clock())
    return _back(_("Taken off. Drafts and own items for examinations lie on the disk in plain from now on."))


def _back(says: str) -> Response:
    """The list again, with the bank as it is now and a sentence on what was done."""
    shelving.take_up()
    flash(says, "done")
    return redirect(url_for("drafts.all_drafts"), 303)


def _kept() -> OwnSeal:
    with parts().database.reading() as session:
        return own_seal.to_open(session, me().id)
