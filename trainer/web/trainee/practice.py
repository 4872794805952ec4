"""Practice pages: what next, one exercise a page, its verdict."""

from __future__ import annotations

import secrets
from collections.abc import Mapping
from types import MappingProxyType

from flask import make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.bank import topic_title
from trainer.bank.drill import Drill
from trainer.drawing.measures import chain, rule, strip
from trainer.drills.sketch import field_roles
from trainer.errors import Conflict, NotFound
from trainer.languages import _
from trainer.languages.numerals import as_read
from trainer.practice import reasons
from trainer.practice.skill import KEEP, LEAST_ANSWERS, PROOF_GAPS, STEADY_AT
from trainer.services.practising import exercises, jobs, lessons, practice, skills
from trainer.services.teaching import class_questions, progress, wanted
from trainer.web.access import decimal, look, me, parts, this_day
from trainer.web.asking import paging
from trainer.web.sheets import guidance, job_sheet, presenting
from trainer.web.shelving import as_written
from trainer.web.trainee import bp

Page = str | tuple[str, int] | Response
SKILLS = 12  # on one page: as many as somebody looks at


@bp.get("/")
def home() -> Page:
    """What now, why, how far."""
    with parts().database.reading() as session:
        lines, sets = wanted.lines_for(session, parts().shelf, me().id, parts().clock())
        whole = wanted.whole(parts().shelf, lines, sets)
        wish = paging.asked("skills-", rows=SKILLS)
        found = progress.home(session, parts().shelf, me().id, lines, whole, parts().clock(), wish)
        asked = class_questions.waiting_for(session, me().id)
    today = this_day()
    strips = {
        line.family: strip(
            line.title, line.strokes, today, proofs=line.skill.proofs, fid=f"strip{i}",
            due=line.skill.state != "begun" and line.skill.due_on is not None and line.skill.due_on <= today,
        )
        for i, line in enumerate(found.skills.rows)
    }  # fmt: skip
    way = chain(found.proven, found.steady, found.rest)
    picture = rule(STEADY_AT, LEAST_ANSWERS, KEEP, PROOF_GAPS)
    return render_template(
        "trainee/home.html", found=found, line=as_read(f"{STEADY_AT:.2f}"), reason=reasons.told(found.offer.reason) if found.offer else "", sets=sets, strips=strips, way=way, rule=picture,
        asked=[(one, name, entry) for one, name in asked if (entry := parts().bank.drills.get(one.drill_id))],
    )  # fmt: skip


@bp.post("/practice")
def begin() -> Page:
    """Offer the next exercise, of a set or a drill if one is named; a lesson that is due comes first."""
    with parts().database.writing() as session:
        due = (
            None
            if request.form.get("drill")
            else lessons.waiting(session, parts().shelf, me().id, parts().clock())
        )
        if due is not None:
            lesson_id = lessons.begin(session, me().id, due, parts().clock())
            return redirect(url_for("trainee.lesson", lesson_id=lesson_id), 303)
        line, reason, assignment = wanted.wanted_line(
            session, parts().shelf, me().id, request.form, parts().clock()
        )
        row = practice.offer(
            session,
            parts().shelf,
            me().id,
            line,
            reason,
            secrets.randbelow(2**31),
            parts().clock(),
            assignment,
        )
        exercise_id = row.id
    return redirect(url_for("trainee.exercise", exercise_id=exercise_id), 303)


@bp.get("/practice/<int:exercise_id>")
def exercise(exercise_id: int) -> Page:
    """One exercise: figure, what is given, the answer field."""
    return _sheet(exercise_id)


@bp.post("/practice/<int:exercise_id>")
def answer(exercise_id: int) -> Page:
    """Mark and keep one answer; unreadable text comes back with a sentence and stays typed."""
    text, key = request.form.get("answer", "")[:2000], request.form.get("key", "")[:64] or None
    scratch = request.form.get("scratch", "") if request.form.get("keep_scratch") else ""
    with parts().database.writing() as session:
        verdict = practice.take(
            session, parts().shelf, me().id, exercise_id, text, key, parts().clock(), decimal(), scratch
        )
    if verdict.kind == "unreadable":
        return make_response(_sheet(exercise_id, text, " ".join(verdict.says), request.form), 422)
    return redirect(url_for("trainee.verdict", exercise_id=exercise_id), 303)


@bp.get("/practice/<int:exercise_id>/verdict")
def verdict(exercise_id: int) -> Page:
    """The judgement of an answer with the working beside it."""
    with parts().database.reading() as session:
        it = practice.shown(session, parts().shelf, me().id, exercise_id)
        if it.row.answer is None:
            return redirect(url_for("trainee.exercise", exercise_id=exercise_id), 303)
        judged = practice.judged(it, parts().settings.decimal)
        lesson = lessons.of_exercise(session, exercise_id)
    if it.row.withheld or request.headers.get("X-Fragment"):
        page = "waiting_region" if request.headers.get("X-Fragment") else "waiting"
        return render_template(
            f"trainee/{page}.html", row=it.row, typed=it.row.answer.text, drill=it.mould.read.drill, shown=not it.row.withheld
        )  # fmt: skip
    explained = field_roles(it.mould.read.drill, it.drawn) is not None
    return render_template(
        "trainee/verdict.html",
        verdict=presenting.verdict_view(it.mould, it.drawn, judged),
        working=presenting.working_view(parts().bank, it.mould, it.drawn, judged),
        figure=presenting.solved_figure(it.mould, it.drawn, judged),
        title_rows=presenting.title_rows(it.mould.read.drill, it.drawn),
        drill=it.mould.read.drill,
        row=it.row,
        lesson=lesson,
        why=url_for("trainee.why", exercise_id=exercise_id) if explained else None,
    )


@bp.get("/practice/<int:exercise_id>/why")
def why(exercise_id: int) -> Page:
    """The computed field behind the rule, once the exercise is answered."""
    with parts().database.reading() as session:
        it = practice.shown(session, parts().shelf, me().id, exercise_id)
        if not it.answered:
            return redirect(url_for("trainee.exercise", exercise_id=exercise_id), 303)
        if it.row.withheld:
            return redirect(url_for("trainee.verdict", exercise_id=exercise_id), 303)
    view = presenting.field_view(parts().bank, it.mould, it.drawn)
    if view is None:
        raise NotFound(_("There is no field picture for this exercise. Its working says how the rule goes."))
    back = url_for("trainee.verdict", exercise_id=exercise_id)
    return render_template(
        "trainee/why.html", view=view, drill=it.mould.read.drill, back=back,
        title_rows=presenting.title_rows(it.mould.read.drill, it.drawn),
    )  # fmt: skip


@bp.post("/practice/<int:exercise_id>/<rung>")
def help_up(exercise_id: int, rung: str) -> Page:
    """Show a rung of help before an answer; the answer then does not count."""
    with parts().database.writing() as session:
        if exercises.own(session, me().id, exercise_id).withheld:
            raise Conflict(
                _("The whole class is asked this one: help opens when your instructor shows the outcome.")
            )
        practice.reveal(session, me().id, exercise_id, rung, parts().clock())
    return redirect(url_for("trainee.exercise", exercise_id=exercise_id) + "#help", 303)


@bp.get("/lessons/<int:lesson_id>")
def lesson(lesson_id: int) -> Page:
    """A lesson on a slip made twice: both ways side by side, then exercises on just that."""
    with parts().database.reading() as session:
        it = lessons.shown(session, parts().shelf, me().id, lesson_id, parts().settings.decimal)
    view = guidance.lesson_view(parts().bank, it)
    return render_template("trainee/lesson.html", it=it, view=view, title=it.mould.read.drill.title)


@bp.post("/lessons/<int:lesson_id>")
def lesson_exercise(lesson_id: int) -> Page:
    """Give the next exercise of a lesson."""
    with parts().database.writing() as session:
        exercise_id = lessons.exercise(
            session, as_written().shelf, me().id, lesson_id, secrets.randbelow(2**31), parts().clock()
        )
    return redirect(url_for("trainee.exercise", exercise_id=exercise_id), 303)


@bp.get("/drills")
def drills() -> Page:
    """All jobs, and all drills by topic, to choose one freely; searched by words."""
    q = request.args.get("q", "")[:80]
    with parts().database.reading() as session:
        known = skills.skills_of(session, me().id)
        begun = jobs.standings(session, me().id)
    return render_template(
        "trainee/drills.html", topics=_with_words(q), q=q, topic_title=topic_title, known=known, begun=begun,
        jobs=job_sheet.job_rows(parts().bank),
    )  # fmt: skip


def _with_words(q: str) -> dict[str, list[Drill]]:
    """The topics with the drills whose title, topic or id has every word searched for."""
    words = q.lower().split()
    found = {
        topic: [d for d in drills if all(word in f"{d.title} {topic} {d.id}".lower() for word in words)]
        for topic, drills in parts().bank.topics().items()
    }
    return {topic: drills for topic, drills in found.items() if drills}


def _sheet(
    exercise_id: int, typed: str = "", fault: str = "", sent: Mapping[str, str] = MappingProxyType({})
) -> str | Response:
    held, person = parts(), me()
    with look() as connection:
        it = practice.shown(connection, held.shelf, person.id, exercise_id)
    if it.answered:
        return redirect(url_for("trainee.verdict", exercise_id=exercise_id), 303)
    example = practice.example_for(it)
    bank, drill = held.bank, it.mould.read.drill
    return render_template(
        "trainee/exercise.html",
        view=presenting.exercise_view(it.mould, it.drawn, lengths=person.habits.lengths),
        key=secrets.token_hex(16),
        decimal=decimal(),
        scratch=sent.get("scratch", "")[: practice.MOST_SCRATCH],
        keep=bool(sent.get("keep_scratch")),
        typed=typed,
        fault=fault,
        row=it.row,
        reason=reasons.told(it.row.reason),
        drill=drill,
        help=None if it.row.withheld else guidance.ladder_view(bank, it.mould, it.drawn, it.row.hints),
        start=guidance.start_view(it.mould, it.drawn) if it.row.guidance == "start" else None,
        example=example and presenting.example_view(bank, it.mould, example),
        cautions=[bank.cautions[c].text for c in drill.cautions if c in bank.cautions],
        title_rows=presenting.title_rows(drill, it.drawn),
    )
