"""Specimens of the house: entered with their private maps, looked at by examiners only, retired."""

from __future__ import annotations

from flask import redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.services.examining import specimens
from trainer.web.access import me, parts
from trainer.web.asking.practical_forms import SpecimenForm
from trainer.web.instructor.practicals import bp
from trainer.web.sheets import practical_sheet

Page = str | tuple[str, int] | Response


@bp.get("/specimens")
def all_specimens() -> Page:
    """The specimens of the house, without their maps, and the form for a new one."""
    return _list(SpecimenForm(formdata=None))


@bp.post("/specimens")
def enter_specimen() -> Page:
    """Enter a specimen with its map."""
    form = SpecimenForm()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            made = specimens.enter(
                session, me().id, form.code.data, form.title.data, form.drawn.data, parts().clock()
            ).id
        if not form.errors:
            return redirect(url_for("practicals.specimen", specimen_id=made), 303)
    return _list(form), 422


@bp.get("/specimens/<int:specimen_id>")
def specimen(specimen_id: int) -> Page:
    """One specimen with its map."""
    with parts().database.reading() as session:
        found = specimens.own(session, me().id, specimen_id)
    return render_template(
        "instructor/specimen.html", found=found, known=specimens.known(found), drawn=practical_sheet.drawn_map(found)
    )  # fmt: skip


@bp.post("/specimens/<int:specimen_id>/retire")
def retire_specimen(specimen_id: int) -> Page:
    """Take a specimen out of use."""
    with parts().database.writing() as session:
        specimens.retire(session, me().id, specimen_id, parts().clock())
    return redirect(url_for("practicals.all_specimens"), 303)


def _list(form: SpecimenForm) -> str:
    with parts().database.reading() as session:
        found, uses = specimens.of_house(session, me().id), specimens.uses(session, me().id)
    return render_template("instructor/specimens.html", form=form, found=found, uses=uses)
