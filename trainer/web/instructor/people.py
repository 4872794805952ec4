"""People of one's own organisation: who they are, what they may be, how they come in.

For instructors and employers; which roles each may give is the service's rule.
"""

from __future__ import annotations

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.services.admitting import accounts, sign_in
from trainer.services.admitting.particulars import role_words
from trainer.services.keeping.paging import count
from trainer.services.teaching import roster
from trainer.store.models import Person
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import forms, paging
from trainer.web.instructor.slips import slips_page

bp = guarded_blueprint("people", __name__, {"instructor", "employer"}, "/people")
Page = str | tuple[str, int] | Response


@bp.get("/")
def people() -> Page:
    """Show everybody, and the form to enter somebody."""
    return _people(forms.NewPerson(roles=["trainee"]))


@bp.post("/")
def add() -> Page:
    """Enter one person."""
    form = forms.NewPerson()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            person = accounts.add_person(
                session,
                me().organisation_id,
                form.works_number.data,
                form.name.data,
                form.roles.chosen,
                parts().clock(),
                form.email.data or "",
                me().id,
            )
        if not form.errors:
            flash(_("%(name)s is entered. A join slip lets them in.", name=person.name), "done")
            return redirect(url_for("people.person", person_id=person.id), 303)
    return _people(form), 422


@bp.get("/<int:person_id>")
def person(person_id: int) -> Page:
    """Show one person."""
    return _person(person_id)


@bp.post("/<int:person_id>/roles")
def roles(person_id: int) -> Page:
    """Give and take roles."""
    form = forms.Roles()
    with form.taking(), parts().database.writing() as session:
        accounts.set_roles(session, me().id, person_id, form.roles.chosen, parts().clock())
    if form.errors:
        return _person(person_id, form), 422
    flash(_("The roles are kept."), "done")
    return redirect(url_for("people.person", person_id=person_id), 303)


@bp.post("/<int:person_id>/gone")
def gone(person_id: int) -> Page:
    """Mark a person as gone: sign-ins end, records stay."""
    return _mark(person_id, left=True)


@bp.post("/<int:person_id>/back")
def back(person_id: int) -> Page:
    """Mark a person as back."""
    return _mark(person_id, left=False)


@bp.post("/<int:person_id>/sign-ins/end")
def end_sign_ins(person_id: int) -> Page:
    """End every sign-in of a person, for instance after a lost phone."""
    with parts().database.writing() as session:
        count = accounts.end_sign_ins(session, me().id, person_id, parts().clock())
    flash(_("Sign-ins ended: %(count)s.", count=count), "done")
    return redirect(url_for("people.person", person_id=person_id), 303)


@bp.post("/<int:person_id>/slip")
def slip(person_id: int) -> Page:
    """Make a fresh join slip; it ends an earlier one."""
    with parts().database.writing() as session:
        made = roster.slip(session, me().id, person_id, parts().clock(), parts().settings.join_days)
    return slips_page([made])


def _people(form: forms.NewPerson) -> str:
    with parts().database.reading() as session:
        found = accounts.page(session, accounts.house(me().id), paging.asked())
        form.roles.options = forms.roles(accounts.grantable(session, me().id))
        waiting = count(session, roster.waiting(session, me().id, accounts.house(me().id)))
    rows = [
        {
            "number": one.works_number,
            "href": url_for("people.person", person_id=one.id),
            "name": one.name,
            "roles": role_words(one.roles),
            "state": _state_of(one),
        }
        for one in found.rows
    ]
    return render_template("instructor/people.html", form=form, people=found.showing(rows), waiting=waiting)


def _person(person_id: int, form: forms.Roles | None = None) -> str:
    with parts().database.reading() as session:
        found = accounts.colleague(session, me().id, person_id)
        may = accounts.grantable(session, me().id)
        held = sign_in.open_sessions(session, person_id, parts().clock())
        organisation = found.organisation.name
    shown = form or forms.Roles(roles=sorted(found.roles))
    shown.roles.options = forms.roles(may)
    return render_template(
        "instructor/person.html",
        person=found,
        form=shown,
        held=held,
        state=_state_of(found),
        organisation=organisation,
        fixed=role_words(found.roles - may),
    )


def _mark(person_id: int, left: bool) -> Response:
    with parts().database.writing() as session:
        accounts.set_left(session, me().id, person_id, left, parts().clock())
    flash(_("Marked as gone. Sign-ins have ended, records stay.") if left else _("Marked as back."), "done")
    return redirect(url_for("people.person", person_id=person_id), 303)


def _state_of(person: Person) -> str:
    if person.left_at is not None:
        return _("gone")
    return _("joined") if person.passphrase_hash else _("waits for a join slip")
