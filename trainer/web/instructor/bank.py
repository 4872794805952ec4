"""The question bank as an instructor sees it: what there is of each topic, and what is wrong with own items."""

from __future__ import annotations

from collections import Counter

from flask import render_template
from werkzeug.wrappers import Response

from trainer.web import question_sheet
from trainer.web.access import parts
from trainer.web.instructor import bp

Page = str | tuple[str, int] | Response


@bp.get("/bank")
def question_bank() -> Page:
    """Drills and questions by topic, own items, and every fault for which one was left out."""
    bank = parts().bank
    drills = Counter(entry.drill.topic for entry in bank.drills.values())
    pools = Counter((entry.topic, entry.question.pool) for entry in bank.questions.values())
    rows = [
        {
            "topic": question_sheet.topic_words(topic),
            "drills": drills[topic],
            "practice": pools[topic, "practice"],
            "examination": pools[topic, "examination"],
        }
        for topic in sorted({*drills, *(topic for topic, _pool in pools)})
    ]
    return render_template(
        "instructor/bank.html", rows=rows, own=sorted(bank.private), faults=bank.private_faults,
        drills=len(bank.drills), questions=len(bank.questions),
    )  # fmt: skip
