"""A question to the whole class, as one of its members meets it."""

from __future__ import annotations

import secrets

from flask import redirect, url_for
from werkzeug.wrappers import Response

from trainer.services.teaching import class_questions
from trainer.web.access import me, parts
from trainer.web.trainee import bp


@bp.post("/asked/<int:question_id>")
def take_up(question_id: int) -> Response:
    """Give the exercise of a question to the class, the same one when pressed again."""
    with parts().database.writing() as session:
        exercise_id = class_questions.take_up(
            session, parts().shelf, me().id, question_id, secrets.randbelow(2**31), parts().clock()
        )
    return redirect(url_for("trainee.exercise", exercise_id=exercise_id), 303)
