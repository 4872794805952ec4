"""A pass mark set by a panel: worked out, kept with every sheet of it, printed."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.drawing.measures import SHARES, Row, intervals
from trainer.errors import NotFound, Refused
from trainer.formulas.writing import plain_text
from trainer.languages import _
from trainer.services.examining import panels
from trainer.statistics import panel
from trainer.statistics.panel import PanelFigures
from trainer.store.models import PanelSheet
from trainer.web.access import me, parts
from trainer.web.asking.panel_forms import PanelForm, SheetForm
from trainer.web.instructor import bp
from trainer.web.sheets.days import moment

Page = str | tuple[str, int] | Response
KEEP, SAME = "keep", "same"


@bp.get("/panel")
def panel_form() -> Page:
    """The sheet of a panel, empty, and the panels that are kept."""
    return _sheet(PanelForm(formdata=None), None)


@bp.post("/panel")
def panel_result() -> Page:
    """What a panel's ratings give; kept only if that was pressed."""
    form = PanelForm()
    if request.form.get("do") == KEEP:
        if not form.validate():
            return _sheet(form, None), 422
        try:
            with parts().database.writing() as session:
                made = panels.keep(
                    session, parts().bank, me().id, form.title.data, form.plan.data, form.names.data,
                    form.ratings.data, form.says.data, parts().clock(),
                ).id  # fmt: skip
        except (Refused, NotFound) as fault:
            form.say(str(fault), "ratings")
            return _sheet(form, None), 422
        return redirect(url_for("instructor.panel_kept", panel_id=made), 303)
    try:
        found = panel.figures(panel.read_ratings(form.ratings.data))
    except Refused as fault:
        form.say(str(fault), "ratings")
        return _sheet(form, None), 422
    return _sheet(form, found)


@bp.get("/panel/<int:panel_id>")
def panel_kept(panel_id: int) -> Page:
    """One panel: its pass mark with the error, judges, items, every sheet so far, and room to sign."""
    return _kept(panel_id, SheetForm(formdata=None))


@bp.post("/panel/<int:panel_id>")
def add_sheet(panel_id: int) -> Page:
    """Keep a further sheet of it: of the next round, or in the place of the last one."""
    form = SheetForm()
    if form.validate():
        with form.taking("ratings"), parts().database.writing() as session:
            panels.add(
                session, me().id, panel_id, form.ratings.data, form.says.data, form.which.data == SAME,
                parts().clock(),
            )  # fmt: skip
        if not form.errors:
            return redirect(url_for("instructor.panel_kept", panel_id=panel_id), 303)
    return _kept(panel_id, form), 422


def _sheet(form: PanelForm, found: PanelFigures | None) -> str:
    plans = [(name, one.plan.title) for name, one in parts().bank.papers.items()]
    with parts().database.reading() as session:
        kept = [
            (one.id, one.title, panels.figures_of(panels.standing(one)), one.made_at)
            for one in panels.of_house(session, me().id)
        ]
    return render_template(
        "instructor/panel.html", form=form, found=found, picture=_picture(found, ()) if found else "",
        plans=[("", _("another paper")), *plans], kept=kept,
    )  # fmt: skip


def _kept(panel_id: int, form: SheetForm) -> str:
    bank = parts().bank
    with parts().database.reading() as session:
        one = panels.own(session, me().id, panel_id)
        counts = panels.standing(one)
        found, names = panels.figures_of(counts), panels.names_of(one)
        facts: dict[str, Any] = {
            "panel": one, "found": found, "counts": counts, "picture": _picture(found, names),
            "plan": bank.papers[one.plan_id].plan.title if one.plan_id in bank.papers else one.plan_id,
            "items": [
                {"name": name, "mean": f"{100 * mean:.1f}", "apart": f"{100 * apart:.1f}"}
                for name, mean, apart in zip(names, found.by_item, found.spread, strict=True)
            ],
            "sheets": [_line(sheet, sheet is counts) for sheet in reversed(one.sheets)],
            "changed": panels.changed_since(one, bank), "typed": _as_typed(counts),
        }  # fmt: skip
    return render_template("instructor/panel_kept.html", form=form, **facts)


def _line(sheet: PanelSheet, stands: bool) -> dict[str, str]:
    found = panels.figures_of(sheet)
    return {
        "round": _("%(round)s, counts", round=sheet.round) if stands else str(sheet.round),
        "at": moment(sheet.at), "judges": str(len(found.judges)),
        "mark": _(
            "%(cut)s of %(items)s, %(percent)s %%",
            cut=format(float(found.cut), ".2f"), items=found.items, percent=format(float(found.percent), ".2f"),
        ),
        "error": _("not given") if found.error is None else _("%(n)s items", n=format(found.error, ".3f")),
        "says": sheet.says,
    }  # fmt: skip


def _as_typed(sheet: PanelSheet) -> list[dict[str, str]]:
    """The estimates as they were typed, a row a judge, for the record."""
    return [
        {"judge": _("Judge %(n)s", n=at), "ratings": " ".join(plain_text(float(rating), 6) for rating in row)}
        for at, row in enumerate(panels.estimates(sheet), 1)
    ]


def _picture(found: PanelFigures, names: Sequence[str]) -> str:
    rows = [
        Row(
            names[at] if names else _("Item %(item)s", item=at + 1),
            mean,
            max(0.0, mean - apart),
            min(1.0, mean + apart),
        )
        for at, (mean, apart) in enumerate(zip(found.by_item, found.spread, strict=True))
    ]
    return intervals(rows, SHARES, _("The panel's view of each item, one standard deviation up and down"))
