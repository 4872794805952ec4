"""Tell a question as text or as plain data, for the command line."""

from __future__ import annotations

from typing import Any

from trainer.bank.question import Question
from trainer.formulas.writing import with_unit
from trainer.questions.ask import Asked

_UNDATED = frozenset({"undated", "not dated"})  # nothing to show where a law of physics has no edition


def stem(asked: Asked) -> str:
    """Return what is asked; for drawn numbers the situation of the drill and its question."""
    question = asked.entry.question
    if isinstance(question, Question):
        return question.stem
    assert asked.drawn is not None, "numbers are drawn"
    mould, exercise = asked.drawn
    drill = mould.read.drill
    return f"{drill.situations[exercise.situation].text} {drill.finds[mould.find].ask}"


def given(asked: Asked) -> list[tuple[str, str]]:
    """Return name and amount of what is given beside the stem, where numbers are drawn."""
    if asked.drawn is None:
        return []
    mould, exercise = asked.drawn
    quantities = mould.read.drill.quantities
    return [
        (quantities[symbol].name, with_unit(text, quantities[symbol].unit))
        for symbol, text in exercise.texts.items()
    ]


def sources(asked: Asked) -> list[dict[str, str]]:
    """Return where the fact, or the drill's rule, was read: rows for pieces/source.html."""
    question = asked.entry.question
    if isinstance(question, Question):
        fact = question.fact
        edition = "" if fact.edition in _UNDATED else fact.edition
        return [
            {"document": fact.document, "edition": edition, "clause": fact.clause, "status": fact.status,
             "says": ""}
        ]  # fmt: skip
    assert asked.drawn is not None, "numbers are drawn"
    return [
        {"document": one.document, "edition": one.edition or "", "clause": one.clause or "",
         "status": one.status, "says": one.says or ""}
        for one in asked.drawn[0].read.drill.sources
    ]  # fmt: skip


def as_data(asked: Asked) -> dict[str, Any]:
    """Return one asked question as plain data with stable keys."""
    question = asked.entry.question
    choices = [
        {"letter": c.letter, "text": c.text, "right": c.right, "because": c.because} for c in asked.choices
    ]
    return {
        "question": asked.entry.id, "topic": asked.entry.topic, "edition": asked.entry.edition,
        "seed": asked.seed, "level": question.level, "part": question.part, "pool": question.pool,
        "stem": stem(asked), "given": dict(given(asked)), "options": choices, "key": asked.key,
        "source": sources(asked),
    }  # fmt: skip


def as_text(asked: Asked) -> str:
    """Return one asked question as lines to read."""
    lines = [stem(asked), *(f"  {name}: {amount}" for name, amount in given(asked))]
    for choice in asked.choices:
        mark = "right" if choice.right else "wrong"
        lines.append(f"  {choice.letter}  {choice.text}   [{mark}: {choice.because}]")
    where = (", ".join(filter(None, (s["document"], s["edition"], s["clause"]))) for s in sources(asked))
    return "\n".join([*lines, *(f"Source: {one}" for one in where)])
