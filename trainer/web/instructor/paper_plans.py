"""A written examination planned from a paper plan and a scheme, with what the bank can fill seen at once."""

from __future__ import annotations

import secrets
from typing import Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.bank.paper import PaperPlan
from trainer.errors import NotFound, Refused
from trainer.languages import _
from trainer.services.examining import panels, paper_plans, sittings
from trainer.services.examining.paper_plans import Trial
from trainer.services.qualifying import schemes
from trainer.services.teaching import classes
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.instructor.sittings import ALPHABET, CODE_LENGTH
from trainer.web.sheets import question_sheet

Page = str | tuple[str, int] | Response


@bp.get("/classes/<int:class_id>/examinations/written")
def paper_plan(class_id: int) -> Page:
    """A plan and a scheme to choose, with the scheme's numbers and what the bank can fill."""
    plan, scheme = _chosen(class_id)
    count = paper_plans.questions_beside(plan, scheme)
    mark = paper_plans.figures(plan, scheme)[1]
    form = forms.PaperForm(
        formdata=None, title=plan.title, count="" if count is None else str(count),
        minutes=str(paper_plans.minutes(plan, count or 0)), pass_mark="" if mark is None else str(mark.value),
    )  # fmt: skip
    return _page(class_id, plan, scheme, form, dict(plan.topics))


@bp.post("/classes/<int:class_id>/examinations/written")
def plan_paper(class_id: int) -> Page:
    """Try the numbers written, or plan the examination."""
    plan, scheme = _chosen(class_id)
    form, weights = forms.PaperForm(), _weights(plan)
    if request.form.get("do") == "try" or not form.validate():
        return _page(class_id, plan, scheme, form, weights), 422 if form.errors else 200
    code = "".join(secrets.choice(ALPHABET) for _letter in range(CODE_LENGTH))
    with form.taking(), parts().database.writing() as session:
        wanted = paper_plans.planned(
            plan, form.whole("count"), weights, form.whole("pass_mark"), "1" in form.shown.chosen
        )
        made = sittings.plan(
            session, parts().shelf, me().id, class_id, form.title.data, plan.level, form.whole("minutes"),
            wanted, code, parts().clock(),
        ).id  # fmt: skip
    if form.errors:
        return _page(class_id, plan, scheme, form, weights), 422
    for says in _short(plan, scheme, form):
        flash(says, "stop")
    return redirect(url_for("instructor.sitting", sitting_id=made), 303)


def _chosen(class_id: int) -> tuple[PaperPlan, Any]:
    """The plan and the scheme that the address or the form names; those of the class's level at first."""
    with parts().database.reading() as session:
        level = classes.own_class(session, me().id, class_id).level
    held = parts().bank.papers
    if not held:
        raise NotFound(
            _("This bank has no paper plan. Put one into question_bank/papers of this installation.")
        )
    first = next((name for name, one in held.items() if one.plan.level == level), next(iter(held)))
    known = schemes.known(parts().settings.private_bank)
    wanted = request.values.get("scheme", schemes.FIRST)[:80]
    if wanted not in known:
        raise NotFound(_("There is no such scheme. Choose one of those offered."))
    return parts().bank.paper(request.values.get("plan", first)[:80]).plan, known[wanted]


def _short(plan: PaperPlan, scheme: Any, form: forms.PaperForm) -> list[str]:
    """What the numbers written fall short of: they may be planned, since the written practice decides."""
    size, mark = form.whole("count") + len(plan.drills), form.whole("pass_mark")
    return [
        _(
            "The pass mark is %(mark)s %%, and the scheme chosen asks for %(value)s %% (%(cited)s): the score may "
            "not count for it.",
            mark=mark,
            value=one.value,
            cited=one.cited,
        )
        if one.unit == "pct"
        else _(
            "This paper has %(size)s items, and the scheme chosen asks for %(value)s (%(cited)s): the score may "
            "not count for it.",
            size=size,
            value=one.value,
            cited=one.cited,
        )
        for one in paper_plans.short_of(plan, scheme, size, mark)
    ]


def _weights(plan: PaperPlan) -> dict[str, int]:
    """The weights as written; what is no whole number up to 20 counts as none."""
    found = {topic: forms.whole(request.form.get(f"weight-{topic}", "")) for topic in plan.topics}
    return {topic: weight if weight <= 20 else 0 for topic, weight in found.items()}


def _trial(plan: PaperPlan, form: forms.PaperForm, weights: dict[str, int]) -> tuple[Trial | None, str]:
    try:
        wanted = paper_plans.planned(plan, form.whole("count"), weights, 1, False)
    except Refused as fault:
        return None, str(fault)
    assert wanted.questions is not None, "a paper plan has questions"
    return paper_plans.tried(parts().bank, wanted.questions), ""


def _page(class_id: int, plan: PaperPlan, scheme: Any, form: forms.PaperForm, weights: dict[str, int]) -> str:
    with parts().database.reading() as session:
        title = classes.own_class(session, me().id, class_id).title
        judged = panels.for_plan(session, me().id, plan.id)
        by_panel = (judged.id, panels.words(judged)) if judged else None
    bank, known = parts().bank, schemes.known(parts().settings.private_bank)
    trial, fault = _trial(plan, form, weights)
    asked = dict(trial.composition.topics) if trial else {}
    rows = [
        {
            "id": topic, "words": question_sheet.topic_words(topic), "weight": weights[topic],
            "asked": asked.get(topic, 0), "held": trial.held.get(topic, 0) if trial else "",
        }
        for topic in plan.topics
    ]  # fmt: skip
    return render_template(
        "instructor/paper_plan.html", class_id=class_id, title=title, form=form, plan=plan, scheme=scheme,
        plans=[(name, one.plan.title) for name, one in bank.papers.items()],
        schemes=[(one.id, f"{one.document}, {one.edition}") for one in known.values()], rows=rows, trial=trial,
        fault=fault, by_panel=by_panel, short=_short(plan, scheme, form) if request.method == "POST" else [], figures=[one for one in paper_plans.figures(plan, scheme) if one is not None],
        drills=[(bank.drill(one.drill).drill, one.find) for one in plan.drills],
    )  # fmt: skip
