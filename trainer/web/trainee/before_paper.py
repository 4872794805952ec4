"""Before the time runs: the instructions of an examination and a trial item. Nothing of the trial is kept."""

from __future__ import annotations

from flask import redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import NotFound, Refused
from trainer.examinations.plan import Plan
from trainer.formulas.typed import read_answer
from trainer.formulas.writing import number
from trainer.languages import _
from trainer.services.examining import papers
from trainer.web.access import decimal, me, parts
from trainer.web.trainee import bp
from trainer.web.trainee.sitting import door

Page = str | tuple[str, int] | Response
MOST_TYPED = 200


@bp.post("/examination/before")
def before_paper() -> Page:
    """What the code opens: the instructions, and the trial item with what was typed; a paper begun is led back to."""
    code = request.form.get("code", "")[:20]
    try:
        with parts().database.reading() as session:
            sitting, begun = papers.admitted(session, me().id, code)
            if begun is not None:
                return redirect(url_for("trainee.paper", paper_id=begun.id), 303)
            facts = {"title": sitting.title, "minutes": sitting.minutes, "plan": Plan.of_data(sitting.plan)}
    except NotFound as closed:
        return door(code, str(closed)), 422
    typed = request.form.get("answer", "")[:MOST_TYPED] if request.form.get("do") == "try" else None
    says, fault = _tried(typed, request.form.get("letter", "")[:1])
    return render_template(
        "trainee/before_paper.html", code=code, typed=typed or "", letter=request.form.get("letter", "")[:1],
        says=says, fault=fault, **facts,
    ), 422 if fault else 200  # fmt: skip


def _tried(typed: str | None, letter: str) -> tuple[list[str], str]:
    """How the trial answers are read, and what is wrong with the typed one. None: nothing was tried yet."""
    if typed is None:
        return [], ""
    says = [_("Kept as chosen: %(letter)s.", letter=letter)] if letter in set("ABCD") else []
    if not typed:
        return says, ""
    try:
        read = read_answer(typed, decimal())
    except Refused as fault:
        return says, str(fault)
    told = number(read.value)
    if read.unit:
        return [*says, _("Read as %(number)s %(unit)s.", number=told, unit=read.unit.name)], ""
    return [*says, _("Read as %(number)s without a unit.", number=told)], ""
