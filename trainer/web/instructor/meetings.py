"""Meetings of a class, and who was there."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refused
from trainer.languages import _
from trainer.services.teaching import classes, meetings
from trainer.services.teaching.meetings import MeetingPlan, Noted
from trainer.web.access import me, parts
from trainer.web.asking import forms
from trainer.web.instructor import bp
from trainer.web.instructor.classes import class_sheet

Page = str | tuple[str, int] | Response


@bp.post("/classes/<int:class_id>/meetings")
def add_meeting(class_id: int) -> Page:
    """Enter a meeting of a class."""
    form = forms.MeetingForm()
    if form.validate():
        with form.taking("hours"), parts().database.writing() as session:
            made = meetings.add(session, me().id, class_id, _plan(form), parts().clock())
        if not form.errors:
            return redirect(url_for("instructor.meeting_page", meeting_id=made.id), 303)
    return class_sheet(class_id, meeting=form), 422


@bp.get("/meetings/<int:meeting_id>")
def meeting_page(meeting_id: int) -> Page:
    """Show a meeting with its attendance."""
    return _sheet(meeting_id)


@bp.post("/meetings/<int:meeting_id>")
def change_meeting(meeting_id: int) -> Page:
    """Write a meeting anew."""
    form = forms.MeetingForm()
    if form.validate():
        with form.taking("hours"), parts().database.writing() as session:
            meetings.change(session, me().id, meeting_id, _plan(form))
        if not form.errors:
            flash(_("The meeting is kept."), "done")
            return redirect(url_for("instructor.meeting_page", meeting_id=meeting_id), 303)
    return _sheet(meeting_id, form), 422


@bp.post("/meetings/<int:meeting_id>/attendance")
def note_attendance(meeting_id: int) -> Page:
    """Write down who was there."""
    try:
        with parts().database.writing() as session:
            shown = classes.attendance(session, me().id, meeting_id)
            notes = [note for one in shown if (note := _noted(one.person.id)) is not None]
            meetings.note_attendance(session, me().id, meeting_id, notes, parts().clock())
    except Refused as fault:
        return _sheet(meeting_id, fault=str(fault)), 422
    flash(
        _(
            "Attendance noted for %(notes)s. It becomes training hours when it is confirmed.",
            notes=len(notes),
        ),
        "done",
    )
    return redirect(url_for("instructor.meeting_page", meeting_id=meeting_id), 303)


@bp.post("/meetings/<int:meeting_id>/drop")
def drop_meeting(meeting_id: int) -> Page:
    """Take a meeting away."""
    with parts().database.writing() as session:
        class_id = meetings.drop(session, me().id, meeting_id, parts().clock())
    flash(_("The meeting is taken away."), "done")
    return redirect(url_for("instructor.class_page", class_id=class_id), 303)


def _plan(form: forms.MeetingForm) -> MeetingPlan:
    return MeetingPlan(
        held_on=form.held_on.day,
        starts_at=form.starts_at.moment,
        hours=meetings.hours_of(form.hours.data),
        level=form.level.data,
        content=form.content.data,
        mode=form.mode.data,
        subject=form.subject.data,
    )


def _noted(person_id: int) -> Noted | None:
    """What was chosen for one member, or for all others; None where nothing was."""
    presence = request.form.get(f"presence-{person_id}", "") or request.form.get("others", "")
    if not presence:
        return None
    hours = meetings.hours_of(request.form.get(f"hours-{person_id}", "")) if presence == "part" else None
    return Noted(person_id, presence, hours)


def _sheet(meeting_id: int, form: forms.MeetingForm | None = None, fault: str = "") -> str:
    with parts().database.reading() as session:
        found = meetings.own_meeting(session, me().id, meeting_id)
        shown = classes.attendance(session, me().id, meeting_id)
        title = found.taught_class.title
    form = form or forms.MeetingForm(
        formdata=None,
        held_on=found.held_on,
        starts_at=f"{found.starts_at:%H:%M}",
        hours=f"{found.hours:f}",
        level=found.level,
        content=found.content,
        mode=found.mode,
        subject=found.subject,
    )
    typed = request.form if fault else {}
    return render_template(
        "instructor/meeting.html", found=found, title=title, form=form, shown=shown, fault=fault, typed=typed
    )
