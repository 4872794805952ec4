"""Turn a worked part into the plain data that its sheet and its form take."""

from __future__ import annotations

from datetime import date
from itertools import groupby
from typing import Any

from trainer.bank import Bank
from trainer.bank.citing import cited
from trainer.bank.drill import Source
from trainer.bank.technique import PartQuantity, Technique
from trainer.drills.sketch import sketch
from trainer.drills.working import Line
from trainer.errors import Refused
from trainer.formulas.units import unit
from trainer.formulas.writing import amount
from trainer.languages import _, pgettext
from trainer.shopwork.choosing import Outcome
from trainer.shopwork.lines import derived_lines, rests_on
from trainer.shopwork.power import Judgement
from trainer.shopwork.sheet import GOVERNS, WorkSheet, result_of
from trainer.shopwork.telling import able_text, answered_text, why_not
from trainer.web.sheets import presenting
from trainer.web.sheets.days import day as day_words

_FIGURES = 6


def field_groups(technique: Technique) -> list[tuple[str, list[tuple[str, PartQuantity, str]]]]:
    """Return the fields of a technique by what they belong to: symbol, quantity, how its unit is written."""
    rows = [
        (quantity.of or pgettext("work piece", "Part"), (symbol, quantity, unit(quantity.unit).sign))
        for symbol, quantity in technique.quantities.items()
    ]
    order = list(dict.fromkeys(owner for owner, _row in rows))
    rows.sort(key=lambda row: order.index(row[0]))
    return [(owner, [row for _owner, row in group]) for owner, group in groupby(rows, key=lambda row: row[0])]


def sheet_view(bank: Bank, sheet: WorkSheet) -> dict[str, Any]:
    """Return the data of shop/sheet.html."""
    outcome = sheet.outcome
    figure, scale = _figure(outcome)
    return {
        "heading": _heading(sheet),
        "warnings": _warnings(sheet),
        "case": outcome.taken.read.case if outcome.taken else None,
        "figure_svg": figure,
        "scale": scale,
        "parts": _parts(outcome),
        "chosen": [
            (option.name, option.words[outcome.part.chosen[symbol]])
            for symbol, option in outcome.read.technique.options.items()
        ],
        "working": _working(bank, outcome),
        "refused": [(one.read.case.title, why_not(one)) for one in outcome.refused],
        "elsewhere": [
            (one.read.case.title, "; ".join(one.otherwise), result_of(outcome, one).text)
            for one in outcome.elsewhere
        ],
        "pack": _pack(sheet.judgement, sheet.judged_for),
        "limits": _limits(sheet),
        "disagreements": outcome.worked.mould.read.drill.disagreements if outcome.worked else (),
        "unconfirmed": bool(outcome.worked and outcome.worked.mould.read.drill.unconfirmed),
        "source": _sources(outcome),
        "governs": _(GOVERNS),
    }


def title_rows(sheet: WorkSheet, day: date, name: str) -> list[tuple[str, str, str]]:
    """Return the title block of a worked part."""
    outcome = sheet.outcome
    source = outcome.taken.read.case.source if outcome.taken else None
    where = (
        ", ".join(filter(None, (cited(text, source.status) for text in (source.document, source.clause))))
        if source
        else pgettext("source", "none")
    )
    return [
        (_("Technique"), outcome.read.technique.title, "wide c6 major"),
        (_("Worked by"), name, ""),
        (_("Day"), day_words(day), ""),
        (_("Edition"), outcome.read.edition[:8], ""),
        (_("Source"), f"{where} ({_(source.status)})" if source else where, "wide c6"),
        (_("Governs"), _("the written procedure"), "wide c6"),
    ]


def _heading(sheet: WorkSheet) -> str:
    outcome = sheet.outcome
    name = outcome.read.technique.quantities[outcome.find].name
    if sheet.result:
        return f"{name[:1].upper()}{name[1:]}: {sheet.result.text}"
    if outcome.taken:
        return _("No relation of this document for this part")
    wanting = next((one.wanting[0] for one in outcome.refused if one.wanting and not one.broken), "")
    return _("Not yet: %(wanting)s", wanting=wanting or _("no documented case fits this part"))


def _warnings(sheet: WorkSheet) -> list[str]:
    judged = sheet.judgement
    return [*sheet.outcome.warnings, *((*judged.unable, *judged.warnings) if judged else ())]


def _figure(outcome: Outcome) -> tuple[str, str]:
    """Draw the part to scale; numbers that no sheet has room for are said not to be drawn."""
    if outcome.worked is None:
        return "", ""
    drill = outcome.worked.mould.read.drill
    try:
        figure = sketch(drill, outcome.worked.exercise, "part", solved=True)
    except (Refused, ArithmeticError, ValueError):
        return "", _("Not drawn: these numbers do not fit on the sheet.")
    return figure.svg, figure.scale_says


def _parts(outcome: Outcome) -> list[dict[str, Any]]:
    """Return what was typed, what came out, and what was assumed for it, grouped by what it belongs to."""
    shown = (rests_on(outcome) | outcome.part.typed.keys()) & outcome.values.keys()
    groups = [
        (owner, [_row(outcome, symbol, quantity) for symbol, quantity, _shown in fields if symbol in shown])
        for owner, fields in field_groups(outcome.read.technique)
    ]
    known = [(owner, rows) for owner, rows in groups if rows]
    return [{"no": no, "part": owner, "rows": rows} for no, (owner, rows) in enumerate(known, 1)]


def _row(outcome: Outcome, symbol: str, quantity: PartQuantity) -> dict[str, Any]:
    typed = outcome.part.typed.get(symbol)
    note = _("worked out") if symbol == outcome.find else "" if typed else _("assumed")
    value = amount(outcome.values[symbol], quantity.unit, _FIGURES)
    if symbol == outcome.find and outcome.taken:
        value = result_of(outcome, outcome.taken).text
    elif typed and unit(quantity.unit).shown and typed.replace(" ", "") != value.replace("\u202f", ""):
        value = f"{typed} = {value}"
    shown = quantity.shown or (symbol if len(symbol) <= 2 else "")
    return {"name": quantity.name, "symbol": shown, "value": value, "unknown": False, "note": note}


def _working(bank: Bank, outcome: Outcome) -> dict[str, Any] | None:
    if outcome.worked is None:
        return None
    view = presenting.working_view(bank, outcome.worked.mould, outcome.worked.exercise)
    before, after = ([_step(line) for line in lines] for lines in derived_lines(outcome))
    return {**view, "steps": [*before, *view["steps"], *after]}


def _step(line: Line) -> dict[str, Any]:
    return {
        "name": line.name,
        "note": line.note,
        "right_mathml": line.right_mathml,
        "right_text": line.right_text,
    }


def _pack(judged: Judgement | None, judged_for: str) -> dict[str, Any] | None:
    if judged is None:
        return None
    answers = [(one.step.title, answered_text(one)) for one in judged.answers]
    return {"heading": able_text(judged), "judged_for": judged_for, "answers": answers}


def _limits(sheet: WorkSheet) -> list[str]:
    worked, judged = sheet.outcome.worked, sheet.judgement
    own = worked.mould.read.drill.limits if worked else ()
    return [*own, *(judged.read.power.limits if judged else ())]


def _sources(outcome: Outcome) -> list[dict[str, str]]:
    """Return the source of the case and those of its drill, each document and clause once."""
    if outcome.taken is None:
        return []
    own = outcome.worked.mould.read.drill.sources if outcome.worked else ()
    found: dict[tuple[str, str | None], Source] = {}
    for one in (*own, outcome.taken.read.case.source):
        found.setdefault((one.document, one.clause), one)
    return presenting.source_rows(tuple(found.values()))
