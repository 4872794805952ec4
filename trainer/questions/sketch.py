"""The drawing of a question: its own picture with fixed numbers, or the figure of the drill behind its numbers."""

from __future__ import annotations

from trainer.bank.question import Picture, Question
from trainer.drawing.figures import Figure, draw
from trainer.drills.sketch import fixed
from trainer.drills.sketch import sketch as drill_sketch
from trainer.questions.ask import Asked


def sketch(asked: Asked, fid: str) -> Figure | None:
    """Draw a question's figure; None where it has none."""
    if asked.drawn is not None:
        mould, exercise = asked.drawn
        return drill_sketch(mould.read.drill, exercise, fid)
    question = asked.entry.question
    picture = question.picture if isinstance(question, Question) else None
    return draw_picture(picture, fid) if picture is not None else None


def draw_picture(picture: Picture, fid: str) -> Figure:
    """Draw a picture; Refused for a number, unit, role or word that cannot be drawn."""
    roles = {role: fixed(source) for role, source in picture.roles.items()}
    return draw(picture.kind, fid, roles, picture.words)
