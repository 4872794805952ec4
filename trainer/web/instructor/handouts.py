"""Hand-outs of a drill set: sheets with numbers of their own and the keys, as one PDF to print."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.drills.marking import written
from trainer.errors import Refused
from trainer.languages import LANGUAGES, _, language
from trainer.printing.handout import MOST_SHEETS, Item, Sheet, pdf
from trainer.printing.style import FigureStyle
from trainer.services.proving.exporting import Made
from trainer.services.teaching import classes, sets
from trainer.settings import templates_folder
from trainer.web import downloads
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.reader import made_for
from trainer.web.sheets import presenting, printed_exam_sheet

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Page = str | tuple[str, int] | Response
LARGEST = 99_999  # the number that tells one printing from another


@bp.get("/sets/<int:set_id>/handout")
def handout_page(set_id: int) -> Page:
    """Choose for whom the sheets are, or how many."""
    return _form(set_id)


@bp.post("/sets/<int:set_id>/handout")
def new_handout(set_id: int) -> Page:
    """Take a fresh number, so that the address of the sheets brings the same ones again."""
    whom, copies = request.form.get("whom", ""), request.form.get("copies", "").strip()
    if not whom and not (copies.isascii() and copies.isdigit() and 1 <= int(copies[:4]) <= MOST_SHEETS):
        return _form(set_id, copies[:10], _("Write how many sheets: 1 to %(most)s.", most=MOST_SHEETS)), 422
    number = secrets.randbelow(LARGEST) + 1
    return redirect(
        url_for(
            "instructor.handout", set_id=set_id, number=number, whom=whom or None, copies=copies or None,
            language=request.form.get("language"),
        ), 303,
    )  # fmt: skip


@bp.get("/sets/<int:set_id>/handout-<int:number>.pdf")
def handout(set_id: int, number: int) -> Page:
    """The sheets and their keys in the language asked for; the same address gives the same numbers."""
    with parts().database.reading() as session:
        found = sets.own_set(session, me().id, set_id)
        title, lines = found.title, [(line.drill_id, line.find) for line in found.lines]
        made, names = found.made_at, _names(session)
    if not 0 < number <= LARGEST:
        raise Refused(_("The number of a printing is 1 to %(largest)s.", largest=LARGEST))
    with made_for(request.args.get("language", "")):
        sheets = [
            Sheet(place, name, tuple(_items(lines, number, place))) for place, name in enumerate(names, 1)
        ]
        data = pdf(title, me().organisation, str(number), sheets, made)
    return downloads.response(Made(f"handout-{set_id}-{number}.pdf", "application/pdf", data))


def _names(session: Session) -> list[str]:
    """The names on the sheets: of a class, or so many empty ones."""
    whom, copies = request.args.get("whom", ""), request.args.get("copies", "")
    if whom:
        return [
            f"{one.works_number} {one.name}" for one in classes.members(session, me().id, forms.number(whom))
        ]
    return [""] * min(forms.number(copies), MOST_SHEETS + 1)


def _items(lines: Sequence[tuple[str, str | None]], number: int, sheet: int) -> list[Item]:
    """The exercises of one sheet; drills that have left the bank are passed over."""
    known = [(drill, find) for drill, find in lines if drill in parts().bank.drills]
    return [
        _item(drill, find, (number * (MOST_SHEETS + 1) + sheet) * 1000 + place)
        for place, (drill, find) in enumerate(known)
    ]


def _item(drill_id: str, find: str | None, seed: int) -> Item:
    shelf = parts().shelf
    mould = shelf.mould(drill_id, find if find in shelf.bank.drill(drill_id).drill.finds else None)
    drawn = shelf.draw(drill_id, seed, mould.find)
    view = presenting.exercise_view(mould, drawn)
    key = presenting.working_view(parts().bank, mould, drawn)
    return Item(
        view["heading"], view["situation"], style().alone(view["figure_svg"]), view["scale"],
        printed_exam_sheet.given(view),
        view["find"]["name"][:1].upper() + view["find"]["name"][1:],
        written(mould, drawn.answer), key["accepted_says"], tuple(step["right_text"] for step in key["steps"]),
    )  # fmt: skip


@cache
def style() -> FigureStyle:
    """The look of the drawings, from the same files as the pages'."""
    static = Path(__file__).parents[1] / "static"
    return FigureStyle(
        (static / "house.css").read_text("utf-8"), (static / "tokens.css").read_text("utf-8"),
        (templates_folder() / "pieces" / "defs.html").read_text("utf-8"),
    )  # fmt: skip


def _form(set_id: int, copies: str = "12", fault: str = "") -> str:
    with parts().database.reading() as session:
        found = sets.own_set(session, me().id, set_id)
        drills = len(found.lines)
        running = [one for one in classes.classes_of(session, me().id) if one.closed_at is None]
    return render_template(
        "instructor/handout.html", found=found, drills=drills, copies=copies, fault=fault,
        languages=list(LANGUAGES.items()), chosen=request.form.get("language", language()),
        classes=[("", _("nobody by name, the sheets are numbered")), *((str(one.id), _("Class %(title)s", title=one.title)) for one in running)],
    )  # fmt: skip
