"""Front page, signing in and out, joining with a slip, the first account."""

from __future__ import annotations

import logging

from flask import Blueprint, flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.admitting import accounts, joining, passphrases, sign_in
from trainer.services.teaching import classes
from trainer.web import access, navigation
from trainer.web.access import parts
from trainer.web.asking import forms

log = logging.getLogger("trainer")
bp = Blueprint("public", __name__)
Page = str | tuple[str, int] | Response


@bp.get("/")
def front() -> Page:
    """Lead everybody to their first page; an instructor to the class they have before them, if that is clear."""
    me = access.anybody()
    if me is not None:
        first = navigation.first_page(me)
        if first == url_for("instructor.classes"):
            with parts().database.reading() as session:
                now = classes.class_now(session, me.id, access.this_day())
            first = first if now is None else url_for("instructor.class_now", class_id=now)
        return redirect(first, 303)
    with parts().database.reading() as session:
        empty = not accounts.anybody(session)
    return render_template("public/front.html") if empty else redirect(url_for("public.sign_in"), 303)


@bp.get("/sign-in", endpoint="sign_in")
def sign_in_page() -> Page:
    """Show the sign-in form."""
    return render_template("public/sign_in.html", form=forms.SignIn(), next=request.args.get("next", ""))


@bp.post("/sign-in")
def enter() -> Page:
    """Sign in, and go on to the page that was wanted."""
    form, wanted = forms.SignIn(), request.form.get("next", "")
    if form.validate():
        with form.taking(), parts().database.reading() as session:
            person_id = sign_in.check(session, form.works_number.data, form.passphrase.data)
            return _come_in(person_id, access.inside(wanted))
        log.warning("a sign-in was refused, from %s", request.remote_addr)
    return render_template("public/sign_in.html", form=form, next=wanted), 422


@bp.post("/sign-out")
def sign_out() -> Page:
    """End this browser's sign-in."""
    me = access.anybody()
    if me is not None:
        with parts().database.writing() as session:
            sign_in.end(session, me.id, me.session_id, parts().clock())
    return access.signed_out(redirect(url_for("public.sign_in"), 303))


@bp.get("/join")
def join_page() -> Page:
    """Show the form for a join slip; the slip's QR code brings its code along."""
    return render_template("public/join.html", form=forms.Join(code=request.args.get("code", "")[:40]))


@bp.post("/join")
def join() -> Page:
    """Take a join slip's code and a first passphrase, and sign in."""
    form, now = forms.Join(), parts().clock()
    if form.validate():
        with form.taking():
            with parts().database.reading() as session:
                number = joining.number_of_code(session, form.code.data, now)
            with form.taking("passphrase"):
                kept = passphrases.hashed(form.passphrase.data, number)
                with parts().database.writing() as session:
                    person_id = joining.join(session, form.code.data, kept, now)
                flash(
                    _(
                        "You are in. Your works number is %(number)s; sign in with it from now on.",
                        number=number,
                    ),
                    "done",
                )
                return _come_in(person_id, url_for("public.front"))
    return render_template("public/join.html", form=form), 422


@bp.get("/first/<token>")
def first(token: str) -> Page:
    """Show the form for the first account."""
    with parts().database.reading() as session:
        joining.check_first_code(session, token, parts().clock())
    return render_template("public/first.html", form=forms.First(), token=token)


@bp.post("/first/<token>")
def make_first(token: str) -> Page:
    """Make the first account, and sign in."""
    form, now = forms.First(), parts().clock()
    if form.validate():
        with parts().database.reading() as session:
            joining.check_first_code(session, token, now)
        with form.taking("passphrase"):
            kept = passphrases.hashed(form.passphrase.data, form.works_number.data)
            with form.taking("roles"), parts().database.writing() as session:
                person = joining.first_account(
                    session,
                    token,
                    form.house.data,
                    form.works_number.data,
                    form.name.data,
                    form.roles.chosen,
                    kept,
                    now,
                )
        if not form.errors:
            return _come_in(person.id, url_for("public.front"))
    return render_template("public/first.html", form=form, token=token), 422


def _come_in(person_id: int, target: str) -> Response:
    settings, now = parts().settings, parts().clock()
    browser = request.user_agent.string
    with parts().database.writing() as session:
        token = sign_in.begin(session, person_id, now, settings.sign_in_hours, access.came_from(), browser)
    return access.signed_in(redirect(target, 303), token)
