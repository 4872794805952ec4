"""One question to the whole class: choose it, wait for the answers, show what came of it."""

from __future__ import annotations

import secrets
from typing import TYPE_CHECKING, Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.drawing.measures import SlipMark, distribution
from trainer.drills.mistaken import mistaken
from trainer.drills.together import Together, together
from trainer.errors import NotFound
from trainer.languages import _, pgettext
from trainer.records import table
from trainer.services.proving.exporting import Made
from trainer.services.teaching import class_questions, classes
from trainer.services.teaching.class_questions import Outcome
from trainer.web import downloads
from trainer.web.access import me, parts
from trainer.web.instructor import bp, choosing
from trainer.web.sheets import presenting

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Page = str | tuple[str, int] | Response


@bp.get("/classes/<int:class_id>/ask")
def ask_page(class_id: int) -> Page:
    """Choose what to ask the class; what it was asked before."""
    return _choose(class_id)


@bp.post("/classes/<int:class_id>/ask")
def ask_class(class_id: int) -> Page:
    """Ask the class the one drill that is pressed; without a press, search the list."""
    drill = request.form.get("ask", "")
    if choosing.picking() or not drill:
        return _choose(class_id)
    with parts().database.writing() as session:
        find = request.form.get(f"find-{drill}") or None
        made = class_questions.ask(session, parts().shelf, me().id, class_id, drill, find, parts().clock()).id
    return redirect(url_for("instructor.class_question", question_id=made), 303)


@bp.get("/asked/<int:question_id>")
def class_question(question_id: int) -> Page:
    """How many have answered; once shown, where the answers lie. Kept up to date; on the wall without names."""
    wall = request.args.get("wall") == "1"
    fragment = bool(request.headers.get("X-Fragment"))
    with parts().database.reading() as session:
        found = _outcome(session, question_id)
    drill = parts().bank.drill(found.question.drill_id).drill
    return render_template(
        f"instructor/class_question{'_region' if fragment else ''}.html",
        found=found, drill=drill, ask=presenting.ask(drill, found.question.find), wall=wall,
        spread=_spread(found) if found.question.shown_at else None, body_class="wall" if wall else "",
    )  # fmt: skip


@bp.post("/asked/<int:question_id>/show")
def show_outcome(question_id: int) -> Page:
    """Show the outcome on this page and the verdicts on the phones."""
    with parts().database.writing() as session:
        class_questions.show(session, me().id, question_id, parts().clock())
    return redirect(
        url_for("instructor.class_question", question_id=question_id, wall=request.args.get("wall")), 303
    )


@bp.post("/asked/<int:question_id>/end")
def end_question(question_id: int) -> Page:
    """End the question; the class goes on with its own practice."""
    with parts().database.writing() as session:
        class_questions.end(session, me().id, question_id, parts().clock())
        class_id = class_questions.own(session, me().id, question_id).class_id
    flash(_("The question is over. Its outcome stays under what was asked."), "done")
    return redirect(url_for("instructor.ask_page", class_id=class_id), 303)


@bp.get("/asked/<int:question_id>.csv")
def question_table(question_id: int) -> Page:
    """What everybody answered, as a table for the spreadsheet of whoever asked: in their language."""
    with parts().database.reading() as session:
        found = _outcome(session, question_id)
    rows = tuple(
        (one.person.works_number, one.person.name, one.text,
         pgettext("answer", "right") if one.verdict.right else pgettext("answer", "wrong"), _said(one))
        for one in found.given
    )  # fmt: skip
    made = table.Table(
        found.question.drill_id, (_("Works number"), _("Name"), _("Answer"), _("Verdict"), _("Mistake")), rows
    )
    name = f"{found.question.asked_at:%Y-%m-%d}-{found.question.drill_id}.csv"
    return downloads.response(Made(name, "text/csv; charset=utf-8", table.csv_bytes(made)))


@bp.get("/classes/<int:class_id>/slips/<drill_id>/<find>/<slip>")
def slip_on_the_wall(class_id: int, drill_id: str, find: str, slip: str) -> Page:
    """One mistake worked beside the right way, large, with fresh numbers and nobody's name."""
    shelf = parts().shelf
    with parts().database.reading() as session:
        title = classes.own_class(session, me().id, class_id).title
    drill = shelf.bank.drill(drill_id).drill
    found = mistaken(shelf.mould(drill_id, find), secrets.randbelow(2**31), slip)
    if found is None:
        raise NotFound(_("This mistake cannot be shown with this drill."))
    drawn, verdict = found
    mould = shelf.mould(drill_id, find)
    return render_template(
        "instructor/slip_on_the_wall.html",
        title=title, class_id=class_id, drill=drill, name=shelf.slip_name(drill_id, slip),
        ask=presenting.ask(drill, find), given=presenting.given_words(mould, drawn),
        verdict=presenting.verdict_view(mould, drawn, verdict),
        working=presenting.working_view(parts().bank, mould, drawn, verdict),
        figure=presenting.solved_figure(mould, drawn, verdict), body_class="wall",
    )  # fmt: skip


def _outcome(session: Session, question_id: int) -> Outcome:
    decimal = parts().settings.decimal
    return class_questions.outcome(session, parts().shelf, me().id, question_id, decimal)


def _said(one: class_questions.Given) -> str:
    slip = one.verdict.slip
    return parts().shelf.slip_name(one.drawn.drill, slip) if slip else ""


def _spread(found: Outcome) -> dict[str, Any]:
    """The outcome as the page shows it: the answers on one line and the mistakes by their names."""
    shelf, drill_id = parts().shelf, found.question.drill_id
    scale = together([(one.drawn, one.verdict) for one in found.given])
    named: dict[str, int] = {}
    for one in found.given:
        if one.verdict.slip:
            named[one.verdict.slip] = named.get(one.verdict.slip, 0) + 1
    ordered = sorted(named.items(), key=lambda item: -item[1])
    own = {slip.id for slip in shelf.bank.drill(drill_id).drill.slips}
    return {
        "right": sum(one.verdict.right for one in found.given),
        "svg": _drawn(scale, shelf.bank.drill(drill_id).drill.title) if scale else "",
        "apart": scale.apart if scale else 0,
        "slips": [
            {"name": shelf.slip_name(drill_id, slip), "count": count, "slip": slip,
             "shown": set(slip.split("+")) <= own}
            for slip, count in ordered
        ],
        "unnamed": sum(not one.verdict.right and one.verdict.slip is None for one in found.given),
    }  # fmt: skip


def _drawn(scale: Together, name: str) -> str:
    marks = [SlipMark(at, parts().shelf.slip_name(drill, slip), n) for drill, slip, at, n in scale.slips]
    return distribution(scale.ratios, scale.low, scale.high, _("times what is right"), name, marks)


def _choose(class_id: int) -> str:
    with parts().database.reading() as session:
        found = classes.own_class(session, me().id, class_id)
        asked = class_questions.asked_in(session, me().id, class_id)
    titles = {row.drill_id: parts().bank.drills.get(row.drill_id) for row in asked}
    return render_template(
        "instructor/ask_class.html", found=found, asked=asked, titles=titles,
        picking=choosing.picked(parts().bank),
    )  # fmt: skip
