"""Several-part jobs: one sheet a job, one answer a step, the later steps built on one's own earlier answers."""

from __future__ import annotations

import secrets

from flask import make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.languages import _
from trainer.languages.numerals import reading_with
from trainer.services.practising import jobs
from trainer.web.access import decimal, me, parts
from trainer.web.sheets import job_sheet
from trainer.web.trainee import bp

Page = str | tuple[str, int] | Response


@bp.post("/jobs")
def begin_job() -> Page:
    """Begin a job, or go on with one of the same kind that is not finished."""
    job_id, at_the_end = request.form.get("job", "")[:80], request.form.get("verdict") == "end"
    with parts().database.writing() as session:
        row = jobs.begin(
            session,
            parts().jobs,
            me().id,
            job_id,
            at_the_end,
            secrets.randbelow(2**31),
            parts().clock(),
            decimal(),
        )
        sheet_id = row.id
    return redirect(url_for("trainee.job", sheet_id=sheet_id), 303)


@bp.get("/jobs/<int:sheet_id>")
def job(sheet_id: int) -> Page:
    """The sheet: the next step with its answer field, or all judgements when every step is answered."""
    return _sheet(sheet_id)


@bp.post("/jobs/<int:sheet_id>/<int:position>")
def answer_step(sheet_id: int, position: int) -> Page:
    """Mark and keep the answer to one step; unreadable text comes back with a sentence and stays typed."""
    text, key = request.form.get("answer", "")[:2000], request.form.get("key", "")[:40] or None
    left = request.form.get("leave") == "out"
    with parts().database.writing() as session:
        one = jobs.take(
            session, parts().jobs, me().id, sheet_id, position, None if left else text, key,
            parts().clock(), parts().settings.decimal,
        )  # fmt: skip
    if one.verdict.kind == "unreadable":
        return make_response(_sheet(sheet_id, text, " ".join(one.verdict.says)), 422)
    return redirect(url_for("trainee.job", sheet_id=sheet_id), 303)


def _sheet(sheet_id: int, typed: str = "", fault: str = "") -> str:
    with parts().database.reading() as session:
        it = jobs.sheet(session, parts().jobs, me().id, sheet_id, parts().settings.decimal)
        # numbers stand as they will be read: with the sign of the day the job was begun
        with reading_with(it.row.decimal or parts().settings.decimal):
            return _shown(it, typed, fault)


def _shown(it: jobs.Sheet, typed: str, fault: str) -> str:
    bank = parts().bank
    shown = it.done or not it.row.at_the_end
    marks = _("%(reached)s of %(of)s", reached=it.marks, of=it.cast.job.marks)
    if not shown:
        marks = _("%(marks)s to be had", marks=it.cast.job.marks)
    return render_template(
        "trainee/job_done.html" if it.done else "trainee/job.html",
        it=it, job=it.cast.job, situation=it.cast.job.situations[it.drawn.situation],
        steps=job_sheet.step_rows(it), marked=job_sheet.marked_views(bank, it) if shown else [],
        view=None if it.done else job_sheet.asked_view(it), key=secrets.token_hex(16), typed=typed, fault=fault,
        decimal=it.row.decimal or parts().settings.decimal, given=job_sheet.given_rows(it.cast, it.drawn), cautions=job_sheet.cautions(bank, it.cast),
        title_rows=job_sheet.title_rows(it.cast, it.drawn, marks),
    )  # fmt: skip
