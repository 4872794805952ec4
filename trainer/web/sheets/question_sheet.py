"""Turn a knowledge question into the plain data that its pages take."""

from __future__ import annotations

import re
from typing import Any

from markupsafe import Markup, escape

from trainer.bank import topic_title
from trainer.bank.citing import cited
from trainer.bank.question import NumberQuestion, Question
from trainer.languages import N_, _
from trainer.questions import telling
from trainer.questions.ask import Asked
from trainer.questions.sketch import sketch

PARTS = {"general": N_("general"), "specific": N_("specific")}
_STRESSED = re.compile(r"\*([^*]+)\*")
_SENTENCES = re.compile(r"(?<=[.?!:])(?<!\bT\.O\.)[\"”»]? (?=[A-ZÁÉÍÓÚÑ0-9¿¡“«\"*])")


def question_view(asked: Asked, fid: str = "fig") -> dict[str, Any]:
    """Return the data of pieces/question.html: heading, situation, figure, options. Nothing in it is a key."""
    situation, question = _parted(telling.stem(asked))
    figure = sketch(asked, fid)
    return {
        "heading": stressed(question),
        "situation": stressed(situation),
        "given": telling.given(asked),
        "figure_svg": figure.svg if figure else "",
        "scale": figure.scale_says if figure else "",
        "options": [(choice.letter, stressed(choice.text)) for choice in asked.choices],
    }


def wording(question: Question | NumberQuestion) -> tuple[Markup, Markup]:
    """Return situation and question for the bank's own pages; of one with drawn numbers its id is the question."""
    situation, asked = _parted(question.stem) if isinstance(question, Question) else ("", question.id)
    return stressed(situation), stressed(asked)


def reasons_view(asked: Asked, letter: str) -> list[dict[str, Any]]:
    """Return every option with what is right or wrong about it, and which one was chosen."""
    return [
        {
            "letter": choice.letter,
            "text": stressed(choice.text),
            "right": choice.right,
            "chosen": choice.letter == letter,
            "because": stressed(choice.because),
        }
        for choice in asked.choices
    ]


def heading(asked: Asked, letter: str) -> str:
    """Return the verdict in words."""
    if not letter:
        return _("Not answered: %(key)s is right", key=asked.key)
    if letter == asked.key:
        return _("Right: %(letter)s", letter=letter)
    return _("Not right: %(key)s is, not %(letter)s", key=asked.key, letter=letter)


def title_rows(asked: Asked) -> list[tuple[str, str, str]]:
    """Return the title block of a question's sheet."""
    question, source = asked.entry.question, telling.sources(asked)[0]
    where = [cited(source[name], source["status"]) for name in ("document", "clause")]
    memory = "" if asked.entry.confirmed else _("unconfirmed: check your copy")
    kind = (
        _("numbers drawn from a drill") if isinstance(question, NumberQuestion) else _(PARTS[question.part])
    )
    return [
        (_("Question"), topic_words(asked.entry.topic), "wide c6 major"),
        (_("Level"), question.level, ""),
        (_("Kind"), kind, ""),
        (_("Edition"), asked.entry.edition[:8], ""),
        (_("Source"), ", ".join(filter(None, (*where, memory))), "wide c6"),
    ]


def topic_words(topic: str) -> str:
    """Return a topic as words: Field and indicators."""
    return topic_title(topic)


def stressed(text: str) -> Markup:
    """Return a text of the bank with what stands between asterisks stressed; all else is plain text."""
    return Markup(_STRESSED.sub(r"<em>\1</em>", str(escape(text))))  # escaped first


def _parted(stem: str) -> tuple[str, str]:
    """Part a stem into the situation and its last sentence, which is the question."""
    cuts = [found.end() for found in _SENTENCES.finditer(stem)]
    return (stem[: cuts[-1]].strip(), stem[cuts[-1] :]) if cuts else ("", stem)
