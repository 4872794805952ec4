"""The question bank as an instructor sees it: what there is of each topic, and what is wrong with own items."""

from __future__ import annotations

from collections import Counter

from flask import render_template
from werkzeug.wrappers import Response

from trainer.web.access import parts
from trainer.web.instructor import bp
from trainer.web.sheets import question_sheet

Page = str | tuple[str, int] | Response


@bp.get("/bank")
def question_bank() -> Page:
    """Questions by topic, own items, and every fault for which one was left out."""
    bank = parts().bank
    held = [(entry.topic, entry.question) for entry in bank.questions.values()]
    pools = Counter((topic, one.pool) for topic, one in held)
    levels = Counter((topic, one.level) for topic, one in held if one.pool == "examination")
    safety = Counter(topic for topic, one in held if one.pool == "examination" and one.safety)
    rows = [
        {
            "topic": question_sheet.topic_words(topic),
            "practice": pools[topic, "practice"],
            "one": levels[topic, "I"],
            "two": levels[topic, "II"],
            "safety": safety[topic],
        }
        for topic in sorted({topic for topic, _one in held})
    ]
    return render_template(
        "instructor/bank.html", rows=rows, own=sorted(bank.private), faults=bank.private_faults,
        drills=len(bank.drills), questions=len(bank.questions),
    )  # fmt: skip
