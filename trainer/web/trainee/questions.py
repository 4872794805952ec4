"""Knowledge questions in practice: the topics, one question a page, the reason for every option."""

from __future__ import annotations

import secrets

from flask import make_response, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refused
from trainer.languages import _
from trainer.questions import telling
from trainer.services.practising import questions
from trainer.web.access import me, parts
from trainer.web.sheets import question_sheet
from trainer.web.trainee import bp

Page = str | tuple[str, int] | Response


@bp.get("/questions")
def question_topics() -> Page:
    """Every topic with questions to practise, and how far one is."""
    with parts().database.reading() as session:
        found = questions.topics(session, parts().shelf, me().id)
    return render_template("trainee/questions.html", topics=found, words=question_sheet.topic_words)


@bp.post("/questions")
def ask_question() -> Page:
    """Ask the next question of a topic."""
    topic = request.form.get("topic", "")[:80]
    with parts().database.writing() as session:
        row = questions.offer(
            session, parts().shelf, me().id, topic, secrets.randbelow(2**31), parts().clock()
        )
        sheet_id = row.id
    return redirect(url_for("trainee.question", sheet_id=sheet_id), 303)


@bp.get("/questions/<int:sheet_id>")
def question(sheet_id: int) -> Page:
    """One question: situation, drawing, four options."""
    return _sheet(sheet_id)


@bp.post("/questions/<int:sheet_id>")
def answer_question(sheet_id: int) -> Page:
    """Keep one answer; where no option was chosen the page says so."""
    letter, key = request.form.get("answer", "")[:4], request.form.get("key", "")[:40] or None
    try:
        with parts().database.writing() as session:
            questions.take(session, parts().shelf, me().id, sheet_id, letter, key, parts().clock())
    except Refused as fault:
        return make_response(_sheet(sheet_id, str(fault)), 422)
    return redirect(url_for("trainee.question_verdict", sheet_id=sheet_id), 303)


@bp.get("/questions/<int:sheet_id>/verdict")
def question_verdict(sheet_id: int) -> Page:
    """What was right, and the reason for every option."""
    with parts().database.reading() as session:
        row, asked = questions.shown(session, parts().shelf, me().id, sheet_id)
        if row.answer is None:
            return redirect(url_for("trainee.question", sheet_id=sheet_id), 303)
        letter, topic = row.answer.letter, row.topic
    return render_template(
        "trainee/question_verdict.html", view=question_sheet.question_view(asked), topic=topic,
        words=question_sheet.topic_words, heading=question_sheet.heading(asked, letter),
        right=letter == asked.key, reasons=question_sheet.reasons_view(asked, letter),
        sources=telling.sources(asked), title_rows=question_sheet.title_rows(asked),
    )  # fmt: skip


def _sheet(sheet_id: int, fault: str = "") -> str | Response:
    with parts().database.reading() as session:
        row, asked = questions.shown(session, parts().shelf, me().id, sheet_id)
        if row.answer is not None:
            return redirect(url_for("trainee.question_verdict", sheet_id=sheet_id), 303)
        topic, reason = row.topic, _(row.reason)
    return render_template(
        "trainee/question.html", view=question_sheet.question_view(asked), sheet_id=sheet_id, topic=topic,
        words=question_sheet.topic_words, reason=reason, key=secrets.token_hex(16), fault=fault,
        title_rows=question_sheet.title_rows(asked),
    )  # fmt: skip
