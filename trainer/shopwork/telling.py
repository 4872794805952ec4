"""A sheet of real work as plain data with stable keys, and as text for the terminal."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from trainer.bank import Bank
from trainer.bank.technique import Technique
from trainer.drills.telling import source_text
from trainer.drills.working import accepted_says, working
from trainer.formulas.units import unit
from trainer.formulas.writing import amount
from trainer.languages import _
from trainer.shopwork.choosing import Outcome, Tried
from trainer.shopwork.lines import derived_lines
from trainer.shopwork.power import Answered, Judgement
from trainer.shopwork.sheet import GOVERNS, WorkSheet, result_of

_FIGURES = 5


def as_data(sheet: WorkSheet) -> dict[str, Any]:
    """Return the sheet with the keys that scripts depend on; ``case`` and ``answer`` are null where none fits."""
    outcome, result = sheet.outcome, sheet.result
    taken = outcome.taken
    answer = {"value": result.value, "unit": result.unit} if result else None
    return {
        "technique": outcome.read.technique.id,
        "edition": outcome.read.edition,
        "find": outcome.find,
        "given": dict(outcome.part.typed),
        "chosen": dict(outcome.part.chosen),
        "case": taken.read.case.id if taken else None,
        "drill": taken.read.case.drill if taken else None,
        "why": taken.read.case.why if taken else None,
        "answer": answer,
        "accepted": {"low": result.low, "high": result.high, "unit": result.unit} if result else None,
        "working": list(working_texts(outcome)),
        "warnings": list(outcome.warnings),
        "refused": [{"case": one.read.case.id, "says": why_not(one)} for one in outcome.refused],
        "elsewhere": [_elsewhere(outcome, one) for one in outcome.elsewhere],
        "pack": _pack_data(sheet.judgement),
        "source": source_text(taken.read.case.source) if taken else None,
        "governs": GOVERNS,
    }


def as_text(bank: Bank, sheet: WorkSheet) -> str:
    """Write the sheet for the terminal, warnings first."""
    return "\n".join(_lines(bank, sheet))


def wanted_text(technique: Technique) -> str:
    """Say what may be given of a part, symbol by symbol, and which words may be chosen."""
    values = [f"{s} {q.name} ({unit(q.unit).shown or 'a number'})" for s, q in technique.quantities.items()]
    words = [f"{symbol} {' or '.join(option.words)}" for symbol, option in technique.options.items()]
    return f"Give what you know of the part with -g SYMBOL=VALUE: {'; '.join((*values, *words))}."


def why_not(tried: Tried) -> str:
    """Say in one line why a case was not taken."""
    if tried.broken:
        return _("Not so here: %(broken)s", broken=" ".join(tried.broken))
    return _("Not to be judged yet: %(wanting)s.", wanting="; ".join(tried.wanting))


def working_texts(outcome: Outcome) -> Iterator[str]:
    """Return the working line by line: what the case rests on, the drill's own, what follows."""
    before, after = derived_lines(outcome)
    own = working(outcome.worked.mould, outcome.worked.exercise) if outcome.worked else ()
    for line in (*before, *own, *after):
        yield line.right_text + (f"   ({line.note})" if line.note else "")


def answered_text(answered: Answered) -> str:
    """Write the answer to one question of a pack."""
    own = unit(answered.worked.unit)
    shown = unit(answered.step.shown_in or own.name)
    return amount(own.to(shown, answered.shown), shown.name)


def able_text(judgement: Judgement) -> str:
    """Say whether the pack can do it."""
    name = judgement.name or _("this pack")
    if judgement.able is None:
        return _("Whether %(pack)s can do it is not known: write down its rated current", pack=name)
    named = f"{name[:1].upper()}{name[1:]}"
    return _("%(pack)s can do it", pack=named) if judgement.able else _("%(pack)s cannot do it", pack=named)


def _lines(bank: Bank, sheet: WorkSheet) -> Iterator[str]:
    outcome, taken = sheet.outcome, sheet.outcome.taken
    yield f"{outcome.read.technique.title}: {outcome.read.technique.quantities[outcome.find].name}"
    judged = sheet.judgement
    yield from (f"WARNING: {says}" for says in outcome.warnings)
    if judged:
        yield from (f"WARNING: {says}" for says in (*judged.unable, *judged.warnings))
    if taken is None:
        yield "No documented case fits this part."
    else:
        yield f"Case: {taken.read.case.title}. {taken.read.case.why}"
    yield from (f"  {symbol} = {text}" for symbol, text in outcome.part.typed.items())
    if sheet.result:
        yield "Working"
        yield from (f"  {line}" for line in working_texts(outcome))
        yield f"Answer: {outcome.read.technique.quantities[outcome.find].name} {outcome.find} = {sheet.result.text}"
        if outcome.worked:
            yield accepted_says(outcome.worked.mould, outcome.worked.exercise)
    yield from (f"Not taken: {one.read.case.title}. {why_not(one)}" for one in outcome.refused)
    yield from (
        f"Otherwise: {one.read.case.title} would give {result_of(outcome, one).text}."
        for one in outcome.elsewhere
    )
    if judged:
        yield f"{able_text(judged)}. {sheet.judged_for}"
        yield from (f"  {one.step.title}: {answered_text(one)}" for one in judged.answers)
    yield from _grounds(bank, sheet)
    yield GOVERNS


def _grounds(bank: Bank, sheet: WorkSheet) -> Iterator[str]:
    taken, worked = sheet.outcome.taken, sheet.outcome.worked
    if worked:
        drill = worked.mould.read.drill
        yield from (f"Limit: {text}" for text in drill.limits)
        yield from (f"Documents disagree: {text}" for text in drill.disagreements)
        yield from (f"Caution: {bank.cautions[c].text}" for c in drill.cautions if c in bank.cautions)
        if drill.unconfirmed:
            yield "Unconfirmed: this rests on memory; check your copy of the document."
    if sheet.judgement:
        yield from (f"Limit: {text}" for text in sheet.judgement.read.power.limits)
    if taken:
        sources = (taken.read.case.source, *(worked.mould.read.drill.sources if worked else ()))
        yield from (f"Source: {text}" for text in dict.fromkeys(source_text(one) for one in sources))


def _elsewhere(outcome: Outcome, one: Tried) -> dict[str, Any]:
    found = result_of(outcome, one)
    return {
        "case": one.read.case.id,
        "value": found.value,
        "unit": found.unit,
        "otherwise": list(one.otherwise),
    }


def _pack_data(judged: Judgement | None) -> dict[str, Any] | None:
    if judged is None:
        return None
    answers = {a.step.answer: {"value": a.shown, "unit": a.worked.unit} for a in judged.answers}
    says = [*judged.unable, *judged.warnings]
    return {
        "name": judged.name,
        "able": judged.able,
        "current": judged.values["current"],
        **answers,
        "says": says,
    }
