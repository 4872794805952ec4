"""Examinations of a class: planned, opened, watched, closed; one candidate's paper."""

from __future__ import annotations

import secrets

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.examinations.likeness import likeness
from trainer.examinations.plan import Line, Plan
from trainer.languages import N_, _
from trainer.services.authoring import own_seal
from trainer.services.examining import invigilation, paper_items, papers, scoring_papers, seals, sittings
from trainer.services.keeping import sealed_papers
from trainer.services.teaching import classes
from trainer.store.models import Paper, Sitting
from trainer.web.access import me, parts
from trainer.web.asking import forms, paging
from trainer.web.asking.forms import Form
from trainer.web.asking.sitting_forms import ExtraTime, IncidentForm, SealForm, UnlockForm
from trainer.web.instructor import beginnings, bp, choosing
from trainer.web.sheets import paper_sheet
from trainer.web.sheets.days import moment

Page = str | tuple[str, int] | Response
ALPHABET = "ABCDEFGHJKMNPQRTUVWXY346789"
CODE_LENGTH = 6


@bp.get("/classes/<int:class_id>/examinations")
def examinations(class_id: int) -> Page:
    """The examinations of a class and the form for a new one."""
    with parts().database.reading() as session:
        level = classes.own_class(session, me().id, class_id).level
    return _list(class_id, forms.SittingForm(formdata=None, level=level))


@bp.post("/classes/<int:class_id>/examinations")
def plan_examination(class_id: int) -> Page:
    """Plan an examination from ticked drills."""
    form = forms.SittingForm()
    if choosing.picking():
        return _list(class_id, form)
    if form.validate():
        code = "".join(secrets.choice(ALPHABET) for _letter in range(CODE_LENGTH))
        with form.taking(), parts().database.writing() as session:
            made = sittings.plan(
                session, parts().shelf, me().id, class_id, form.title.data, form.level.data or "",
                form.whole("minutes"), _wanted(form), code, parts().clock(),
            ).id  # fmt: skip
        if not form.errors:
            return redirect(url_for("instructor.sitting", sitting_id=made), 303)
    return _list(class_id, form), 422


@bp.get("/sittings/<int:sitting_id>")
def sitting(sitting_id: int) -> Page:
    """The invigilator's board of one examination; papers whose time is over are handed in by looking."""
    return board(sitting_id)


@bp.post("/sittings/<int:sitting_id>/open")
def open_sitting(sitting_id: int) -> Page:
    """Open it: the code lets the class in."""
    with parts().database.writing() as session:
        sittings.open_sitting(session, me().id, sitting_id, parts().clock())
    return _back(sitting_id)


@bp.post("/sittings/<int:sitting_id>/pause")
def pause_sitting(sitting_id: int) -> Page:
    """Stop everybody's time."""
    with parts().database.writing() as session:
        sittings.pause(session, me().id, sitting_id, parts().clock())
    return _back(sitting_id)


@bp.post("/sittings/<int:sitting_id>/resume")
def resume_sitting(sitting_id: int) -> Page:
    """Go on; the paused time is given back."""
    with parts().database.writing() as session:
        sittings.resume(session, me().id, sitting_id, parts().clock())
    return _back(sitting_id)


@bp.post("/sittings/<int:sitting_id>/close")
def close_sitting(sitting_id: int) -> Page:
    """Close it and mark every paper."""
    with parts().database.writing() as session:
        scoring_papers.close(
            session, parts().shelf, me().id, sitting_id, parts().clock(), parts().settings.decimal
        )
    parts().database.keyring.forget(sitting_id)
    flash(_("Closed and marked."), "done")
    return _back(sitting_id)


@bp.post("/sittings/<int:sitting_id>/void")
def void_sitting(sitting_id: int) -> Page:
    """Declare it void, with the reason."""
    form = forms.Voiding()
    if form.validate():
        with form.taking(), parts().database.writing() as session:
            sittings.void(session, me().id, sitting_id, form.reason.data, parts().clock())
        if not form.errors:
            parts().database.keyring.forget(sitting_id)
            return _back(sitting_id)
    return board(sitting_id, void=form), 422


@bp.post("/sittings/<int:sitting_id>/show")
def show_working(sitting_id: int) -> Page:
    """Let candidates see verdict and working after the close, or no longer."""
    shown = request.form.get("shown") == "1"
    with parts().database.writing() as session:
        sittings.show_working(session, me().id, sitting_id, shown, parts().clock())
    return _back(sitting_id)


def _wanted(form: forms.SittingForm) -> Plan:
    lines = tuple(Line(drill, find, forms.whole(count)) for drill, find, count in choosing.ticked())
    return Plan(lines, form.whole("pass_mark"), form.part.data or "", "1" in form.shown.chosen)


def _back(sitting_id: int) -> Response:
    return redirect(url_for("instructor.sitting", sitting_id=sitting_id), 303)


def _settled(sitting_id: int) -> None:
    """Hand in what is over, if anything is; only then is something written."""
    now = parts().clock()
    with parts().database.reading() as session:
        found = sittings.own_sitting(session, me().id, sitting_id)
        if not any(papers.is_over(paper, now) for paper in found.papers):
            return
    with parts().database.writing() as session:
        papers.settle(session, sittings.own_sitting(session, me().id, sitting_id), now)


def board(sitting_id: int, **sent: Form) -> str:
    """The board, with a form as it was sent, if one was: void, incident, seal, unlock or time."""
    _settled(sitting_id)
    bank = parts().bank
    with parts().database.reading() as session:
        found = sittings.own_sitting(session, me().id, sitting_id)
        locked = sealed_papers.is_locked(session, found)
        names = sittings.names(session, sittings.named_in(found))
        rows = [_row(found, paper, names[paper.person_id]) for paper in found.papers]
        asked = [] if locked else [[*paper_items.question_ids(paper)] for paper in found.papers]
        facts = {
            "found": found, "rows": rows, "plan": Plan.of_data(found.plan), "locked": locked,
            "sealed": sealed_papers.is_sealed(found), "may_seal": seals.may_be_sealed(session, found),
            "title": classes.own_class(session, me().id, found.class_id or 0).title,
            "missing": sittings.missing(session, me().id, found),
            "counts": [
                (paper_sheet.group_title(bank, c.name), c)
                for c in (scoring_papers.by_item(found, parts().shelf) if found.state == "closed" else [])
            ],
            "incidents": incident_rows(found, names), "alike": likeness(asked, bank.questions),
            "quiet": _quiet(found),
            "own_locked": own_seal.is_locked(session, own_seal.of_house(session, me().id)),
        }  # fmt: skip
    template = "sitting_region" if request.headers.get("X-Fragment") else "sitting"
    return render_template(f"instructor/{template}.html", **facts, **(_empty_forms() | sent))


def _empty_forms() -> dict[str, Form]:
    return {
        "void": forms.Voiding(formdata=None), "incident": IncidentForm(formdata=None),
        "seal": SealForm(formdata=None), "unlock": UnlockForm(formdata=None, prefix="unlock-"),
        "time": ExtraTime(formdata=None, prefix="all-"),
    }  # fmt: skip


def _quiet(found: Sitting) -> int | None:
    """Whole minutes since the room was last heard of, none left out; None where nobody has begun."""
    since = invigilation.last_sign(found)
    return None if since is None else max(0, -int((since - parts().clock()).total_seconds() // 60))


def incident_rows(found: Sitting, names: dict[int, str]) -> list[dict[str, str]]:
    """The incidents of an examination: when, about whom, what, who wrote it down."""
    whose = {paper.id: names[paper.person_id] for paper in found.papers}
    return [
        {
            "at": moment(one.at), "about": whose.get(one.paper_id or 0, _("everybody")),
            "says": one.says, "by": names[one.by_id],
        }
        for one in found.incidents
    ]  # fmt: skip


def _row(found: Sitting, paper: Paper, name: str) -> dict[str, object]:
    now = parts().clock()
    saved = [a.saved_at for a in paper.answers if a.saved_at is not None]
    return {
        "id": paper.id, "name": name, "state": state_of(found, paper), "says": state_words(found, paper),
        "written": sum(bool(a.text.strip()) for a in paper.answers), "of": len(paper.answers),
        "left": max(0, int((paper.deadline - papers.moment(paper, now)).total_seconds() + 59) // 60),
        "quiet": int((now - max([paper.started_at, *saved])).total_seconds() // 60),
        "extra": paper.extra_minutes, "seen": paper.identity is not None, "score": scoring_papers.score_of(paper),
        "entry": paper.entry_id, "not_entered": scoring_papers.not_entered(paper),
    }  # fmt: skip


def state_of(found: Sitting, paper: Paper) -> str:
    """How a paper stands, as one of a few words."""
    if paper.void_reason is not None or found.state == "void":
        return N_("void")
    if paper.printed is not None:
        return N_("marks taken")
    if paper.handed_in_at is None:
        return N_("paused") if found.state == "paused" else N_("writing")
    return N_("time over") if paper.handed_in_at == paper.deadline else N_("handed in")


def state_words(found: Sitting, paper: Paper) -> str:
    """How a paper stands, as the reader's language says it."""
    state = state_of(found, paper)
    if state == "marks taken" and paper.printed is not None:
        return _("marks of paper %(number)s taken", number=paper.printed.number)
    return _(state)


def _list(class_id: int, form: forms.SittingForm) -> str:
    bank = parts().bank
    with parts().database.reading() as session:
        title = classes.own_class(session, me().id, class_id).title
        found = sittings.of_class(session, me().id, class_id, paging.asked())
        begin_with = beginnings.offered(session, bank, scored=True)
        before = beginnings.taken(session, bank, scored=True)
    if before is not None:
        form.title.data = form.title.data or before.title
    return render_template(
        "instructor/sittings.html", class_id=class_id, title=title, found=found, form=form, begin_with=begin_with,
        picking=choosing.picked(bank, scored=True, more=before.drills if before else None),
    )  # fmt: skip
