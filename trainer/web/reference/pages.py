"""The formula sheets of the bank's topics, and the words of the trade."""

from __future__ import annotations

from flask import render_template

from trainer.bank import topic_title
from trainer.drills.formula_sheet import formula_of
from trainer.errors import NotFound
from trainer.languages import _
from trainer.web.access import parts, this_day
from trainer.web.reference import bp
from trainer.web.sheets import presenting
from trainer.web.sheets.days import day


@bp.get("/sheets")
def sheets() -> str:
    """Every topic with its formula sheet."""
    rows = [
        (topic, topic_title(topic), [drill.title for drill in drills])
        for topic, drills in parts().bank.topics().items()
    ]
    return render_template("reference/sheets.html", rows=rows)


@bp.get("/sheets/<topic>")
def sheet(topic: str) -> str:
    """The formulas of one topic on one sheet, to read or to print."""
    drills = parts().bank.topics().get(topic)
    if drills is None:
        raise NotFound(_("There is no formula sheet of that name. The list of sheets names them all."))
    shelf = parts().shelf
    formulas = [formula_of(shelf.read(shelf.bank.drill(drill.id))) for drill in drills]
    page = shelf.bank.page
    rows = [
        (_("Formula sheet"), topic_title(topic), "wide c6 major"),
        (_("Formulas"), str(len(formulas)), ""),
        (_("Edition"), page.edition, ""),
        (_("As of"), day(this_day()), ""),
    ]
    return render_template(
        "reference/sheet.html", title=topic_title(topic), formulas=formulas, title_rows=rows,
        sources=presenting.sources_view,
    )  # fmt: skip


@bp.get("/words")
def glossary() -> str:
    """The words of the trade."""
    terms = sorted(parts().bank.terms, key=lambda term: term.term.lower())
    return render_template("reference/glossary.html", terms=terms)
