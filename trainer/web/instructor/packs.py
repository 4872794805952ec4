"""Packs and leads of the shop: added, changed, retired. Whoever works a part chooses among them."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response
from wtforms import StringField
from wtforms.validators import Length

from trainer.formulas.writing import amount
from trainer.languages import N_, _
from trainer.services.teaching import packs
from trainer.shopwork.pack import LEADS, PLATE, Pack, read_pack
from trainer.store.models import Pack as KeptPack
from trainer.web.access import decimal, me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.sheets.days import day

Page = str | tuple[str, int] | Response
_FIGURES = 6


class PackForm(forms.Form):
    """A power pack with its leads; what the values mean is read by the shop's own rules."""

    title = forms.Text(N_("Name of the pack"), N_("Write a name, such as Pack A."), 100)
    rated = forms.Text(N_("Rated current"), N_("Write the rated current, such as 3600 A."), 80)
    duty = forms.Text(N_("Duty"), N_("Write the duty, such as 25 %."), 80)
    period = forms.Text(N_("Period of the duty"), N_("Write the period, such as 4 min."), 80)
    lead = StringField(N_("Size of the leads"), [Length(max=40, message="Write at most 40 characters.")])
    distance = StringField(
        N_("Length of the leads, one way"), [Length(max=80, message="Write at most 80 characters.")]
    )


@bp.get("/packs", endpoint="packs")
def list_page() -> Page:
    """Show the packs of the shop, and the form to add one."""
    return _list(PackForm())


@bp.post("/packs")
def add_pack() -> Page:
    """Write down a pack."""
    form = PackForm()
    plate = _plate(form)
    if plate is not None:
        with form.taking(), parts().database.writing() as session:
            made = packs.add(session, me().id, plate, parts().clock())
        if not form.errors:
            flash(_("%(name)s is kept. It can be chosen under Work a part.", name=made.name), "done")
            return redirect(url_for("instructor.packs"), 303)
    return _list(form), 422


@bp.get("/packs/<int:pack_id>")
def pack_page(pack_id: int) -> Page:
    """Show one pack with its values to change."""
    return _one(pack_id, None)


@bp.post("/packs/<int:pack_id>")
def change_pack(pack_id: int) -> Page:
    """Write a pack down anew; as it was it stays in the list of former ones."""
    form = PackForm()
    plate = _plate(form)
    if plate is not None:
        with form.taking(), parts().database.writing() as session:
            packs.change(session, me().id, pack_id, plate, parts().clock())
        if not form.errors:
            flash(_("The pack is kept anew. As it was it stands among the former ones."), "done")
            return redirect(url_for("instructor.packs"), 303)
    return _one(pack_id, form), 422


@bp.post("/packs/<int:pack_id>/retire")
def retire_pack(pack_id: int) -> Page:
    """Take a pack out of use."""
    with parts().database.writing() as session:
        gone = packs.retire(session, me().id, pack_id, parts().clock())
    flash(_("%(name)s is out of use. It stands among the former ones.", name=gone.name), "done")
    return redirect(url_for("instructor.packs"), 303)


def _plate(form: PackForm) -> Pack | None:
    """The pack as typed; None where a field has a fault, which then stands in the form."""
    form.validate()
    texts = {name: request.form.get(name, "")[:80] for name in (*PLATE, *LEADS)}
    typed = read_pack(parts().shop.power(), texts, form.title.data or "", decimal())
    for field, says in typed.faults.items():
        form.say(says, field)
    return None if form.errors else typed.pack


def _list(form: PackForm) -> str:
    with parts().database.reading() as session:
        kept = [_row(one) for one in packs.packs_of(session, me().id)]
        former = [_row(one) for one in packs.retired_of(session, me().id)]
    return render_template("instructor/packs.html", form=form, packs=kept, former=former, sizes=_sizes())


def _one(pack_id: int, form: PackForm | None) -> str:
    with parts().database.reading() as session:
        row = _row(packs.own_pack(session, me().id, pack_id))
    filled = form or PackForm(
        formdata=None, title=row["name"], rated=row["rated"], duty=row["duty"], period=row["period"],
        lead=row["lead"], distance=row["distance"],
    )  # fmt: skip
    return render_template("instructor/pack_form.html", form=filled, pack=row, sizes=_sizes())


def _sizes() -> list[str]:
    return list(parts().shop.power().power.leads)


def _row(one: KeptPack) -> dict[str, str]:
    """A pack as its list and its form write it."""
    retired = day(one.retired_at)
    return {
        "id": str(one.id),
        "name": one.name,
        "rated": amount(float(one.rated), "A", _FIGURES),
        "duty": amount(float(one.duty) * 100, "percent", _FIGURES),
        "period": amount(float(one.period), "s", _FIGURES),
        "lead": one.lead or "",
        "distance": amount(float(one.distance), "m", _FIGURES) if one.distance is not None else "",
        "retired": retired,
    }
