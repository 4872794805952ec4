"""A person's own account: passphrase, and the browsers they are signed in on."""

from __future__ import annotations

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.admitting import passphrases, sign_in
from trainer.store.models import ROLES
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import forms

bp = guarded_blueprint("account", __name__, frozenset(ROLES), "/account")
Page = str | tuple[str, int] | Response


@bp.get("/")
def account() -> Page:
    """Show the account page."""
    return _page(forms.NewPassphrase())


@bp.post("/passphrase")
def passphrase() -> Page:
    """Keep a new passphrase and end the other sign-ins."""
    form = forms.NewPassphrase()
    if form.validate():
        with form.taking("old"), parts().database.reading() as session:
            sign_in.check(session, me().works_number, form.old.data)
        with form.taking("new"):
            kept = passphrases.hashed(form.new.data, me().works_number)
        if not form.errors:
            with parts().database.writing() as session:
                sign_in.change_passphrase(session, me(), kept, parts().clock())
            flash(_("The new passphrase is kept. Other sign-ins have ended."), "done")
            return redirect(url_for("account.account"), 303)
    return _page(form), 422


@bp.post("/sign-ins/<int:session_id>/end")
def end(session_id: int) -> Page:
    """End one of the person's sign-ins."""
    with parts().database.writing() as session:
        sign_in.end(session, me().id, session_id, parts().clock())
    flash(_("That sign-in has ended."), "done")
    return redirect(url_for("account.account"), 303)


@bp.post("/sign-ins/end-others")
def end_others() -> Page:
    """End every sign-in of the person but this one."""
    with parts().database.writing() as session:
        count = sign_in.end_others(session, me().id, parts().clock(), keep=me().session_id)
    flash(_("Other sign-ins ended: %(count)s.", count=count), "done")
    return redirect(url_for("account.account"), 303)


def _page(form: forms.NewPassphrase) -> str:
    with parts().database.reading() as session:
        held = sign_in.open_sessions(session, me().id, parts().clock())
    return render_template("public/account.html", form=form, held=held, this=me().session_id)
