"""Drill sets: made by ticking, given to a class or a person, copied, put away."""

from __future__ import annotations

from typing import TYPE_CHECKING

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.languages import N_, _
from trainer.services.admitting import accounts
from trainer.services.keeping import paging
from trainer.services.teaching import assignments, classes, sets
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.asking.paging import asked
from trainer.web.instructor import beginnings, bp, choosing
from trainer.web.instructor.beginnings import Beginning
from trainer.web.sheets import days, job_sheet

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from trainer.store.models import Person

Page = str | tuple[str, int] | Response


@bp.get("/sets")
def all_sets() -> Page:
    """The sets this instructor made, and where each is given."""
    with parts().database.reading() as session:
        found, used = sets.sets_of(session, me().id, asked()), sets.how_many_used(session, me().id)
        given: dict[int, list[str]] = {one.id: [] for one in found.rows}
        for row in assignments.given(session, me().id, given) if given else ():
            given[row.set_id].append(assignments.for_whom(session, me().id, row))
    return render_template(
        "instructor/sets.html", found=found, used=used, given=given, jobs=job_sheet.job_rows(parts().bank)
    )


@bp.get("/sets/new")
def new_set() -> Page:
    """The form for a new set; a class or an old set may be named to begin with."""
    whom = f"class-{forms.number(request.args['class'])}" if request.args.get("class") else ""
    before = None
    if request.args.get("like"):
        with parts().database.reading() as session:
            before = beginnings.like(session, forms.number(request.args["like"]))
    return _form(forms.SetForm(formdata=None, whom=whom), before)


@bp.post("/sets/new")
def make_set() -> Page:
    """Make a set from what is ticked, and give it at once if it is said to whom."""
    form = forms.SetForm()
    if choosing.picking():
        return _form(form)
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            chosen = [(drill, find) for drill, find, _count in choosing.ticked()]
            made = sets.make(session, parts().shelf, me().id, form.title.data, chosen, parts().clock()).id
            given = _give(session, made, form) if form.whom.data else None
        if not form.errors:
            says = N_("%(title)s is given.") if given else N_("%(title)s is kept.")
            flash(_(says, title=form.title.data), "done")
            return redirect(url_for("instructor.drill_set", set_id=made), 303)
    return _form(form), 422


@bp.get("/sets/<int:set_id>")
def drill_set(set_id: int) -> Page:
    """One set: what it holds, where it is given, and the ways on."""
    return _sheet(set_id, forms.GiveForm(formdata=None))


@bp.post("/sets/<int:set_id>/give")
def give_set(set_id: int) -> Page:
    """Give a set to a class or a person."""
    form = forms.GiveForm()
    if form.validate():
        with form.taking("whom"), parts().database.writing() as session:
            _give(session, set_id, form)
        if not form.errors:
            flash(_("The set is given."), "done")
            return redirect(url_for("instructor.drill_set", set_id=set_id), 303)
    return _sheet(set_id, form), 422


@bp.post("/sets/<int:set_id>/retire")
def retire_set(set_id: int) -> Page:
    """Put a set away."""
    return _retired(set_id, True)


@bp.post("/sets/<int:set_id>/restore")
def restore_set(set_id: int) -> Page:
    """Take a set up again."""
    return _retired(set_id, False)


def _give(session: Session, set_id: int, form: forms.GiveForm) -> int:
    class_id, person_id = form.whose
    return assignments.give(
        session, me().id, set_id, parts().clock(), class_id, person_id, form.due, form.needed
    ).id


def _retired(set_id: int, retired: bool) -> Page:
    with parts().database.writing() as session:
        title = sets.set_retired(session, me().id, set_id, retired, parts().clock()).title
    says = N_("%(title)s is put away.") if retired else N_("%(title)s is in use again.")
    flash(_(says, title=title), "done")
    return redirect(url_for("instructor.drill_set", set_id=set_id), 303)


def _whom(session: Session, people: paging.Page[Person], chosen: str) -> list[tuple[str, str]]:
    """Whom a set can be given to: own running classes, then a page of the trainees, and whoever is chosen already."""
    running = [one for one in classes.classes_of(session, me().id) if one.closed_at is None]
    found = {f"class-{one.id}": _("Class %(title)s", title=one.title) for one in running}
    found |= {f"person-{one.id}": f"{one.works_number} {one.name}" for one in people.rows}
    kind, _dash, number = chosen.partition("-")
    if kind == "person" and chosen not in found:
        one = accounts.colleague(session, me().id, forms.number(number))
        found[chosen] = f"{one.works_number} {one.name}"
    return list(found.items())


def _form(form: forms.SetForm, before: Beginning | None = None) -> str:
    wish, bank = paging.wished("", request.form.get("whom-words", "")), parts().bank
    with parts().database.reading() as session:
        people = accounts.page(session, assignments.takers(me().id), wish)
        whom = _whom(session, people, form.whom.data or "")
        begin_with = beginnings.offered(session, bank)
        before = before or beginnings.taken(session, bank)
    if before is not None:
        form.title.data = form.title.data or before.title
    return render_template(
        "instructor/set_form.html", form=form, whom=whom, people=people, begin_with=begin_with,
        picking=choosing.picked(bank, more=before.drills if before else None),
    )  # fmt: skip


def _sheet(set_id: int, form: forms.GiveForm) -> str:
    bank = parts().bank
    with parts().database.reading() as session:
        found = sets.own_set(session, me().id, set_id)
        lines = [(line.drill_id, line.find, bank.drills.get(line.drill_id)) for line in found.lines]
        given = [
            (row, assignments.for_whom(session, me().id, row), days.day(row.due_on))
            for row in assignments.given(session, me().id, [set_id])
        ]
        people = accounts.page(session, assignments.takers(me().id), asked())
        whom = _whom(session, people, form.whom.data or "")
    return render_template(
        "instructor/set.html", found=found, lines=lines, given=given, form=form, whom=whom, people=people,
        made=days.day(found.made_at.date()),
    )  # fmt: skip
