"""Turn exercises, verdicts and workings into the plain data that the template pieces take."""

from __future__ import annotations

from collections.abc import Sequence
from functools import lru_cache
from itertools import groupby
from typing import Any

from trainer.bank import Bank
from trainer.bank.citing import cited
from trainer.bank.drill import Drill, Source
from trainer.drawing.measures import dial
from trainer.drills.exercise import Exercise
from trainer.drills.formula_sheet import Formula
from trainer.drills.marking import limits, sample, written
from trainer.drills.mould import Mould
from trainer.drills.sketch import field_picture, sketch
from trainer.drills.verdict import Verdict
from trainer.drills.working import accepted_says, working
from trainer.formulas.units import alike, unit
from trainer.formulas.writing import amount, with_unit
from trainer.languages import N_, _, language
from trainer.languages.numerals import as_read, has_comma

MOST_ROWS = 4
"""Of a parts list beside which a phone shows the drawing in full; with more it gives way, so that the field is seen."""
CARRY = N_("Carry four figures on the way, give three or more.")

STATUS = {"seen": N_("seen"), "seen-2": N_("seen-2"), "memory": N_("memory"), "ours": N_("ours")}
"""How far a source was read, in a word; the keys stand in the bank."""


def exercise_view(
    mould: Mould, exercise: Exercise, fid: str = "fig", drawable: bool = True, lengths: str = "drawn"
) -> dict[str, Any]:
    """Return the data of pieces/exercise.html: figure, parts list, what is asked. Nothing in it is a key.

    ``drawable``: whether the numbers are near enough to a real part's to be drawn to scale. ``lengths``:
    "mm" or "in" puts given lengths of the other kind beside themselves in that unit.
    """
    drill = mould.read.drill
    figure = sketch(drill, exercise, fid) if drawable else None
    parts = parts_list(mould, exercise, lengths)
    return {
        "heading": ask(drill, exercise.find),
        "situation": drill.situations[exercise.situation].text,
        "figure_svg": figure.svg if figure else "",
        "scale": figure.scale_says if figure else _("Not drawn: these numbers do not fit on the sheet."),
        "parts": parts,
        "many": sum(len(part["rows"]) for part in parts) > MOST_ROWS,
        "find": find_view(drill, exercise.find),
        "hint": _hint(drill.quantities[exercise.find].unit, language(), has_comma()),
    }


@lru_cache(maxsize=512)
def _hint(unit_name: str, _tag: str, _comma: bool) -> str:
    """How an answer in this unit is written; the same for all who read alike."""
    like = (
        _("Number and unit, such as %(example)s.", example=sample(unit_name))
        if unit(unit_name).shown
        else _("A number; this one has no unit.")
    )
    return f"{like} {_(CARRY)}"


def ask(drill: Drill, find: str) -> str:
    """Return the question of a find."""
    spec = drill.finds.get(find)
    return spec.ask if spec else _("What is the %(quantity)s?", quantity=drill.quantities[find].name)


def find_view(drill: Drill, find: str) -> dict[str, Any]:
    """Return what the answer field needs to know of the unknown."""
    quantity = drill.quantities[find]
    units, hint = _units(quantity.unit, drill.accept.own_unit, language())
    return {"name": quantity.name, "symbol": _symbol(drill, find), "unit_hint": hint, "units": units}


@lru_cache(maxsize=512)
def _units(own: str, turned: bool, _tag: str) -> tuple[tuple[str, ...], str]:
    """The units that a field offers, their own first, and how it names them; ``turned``: only its own is right."""
    others = [] if turned or not unit(own).shown else [u.sign for u in alike(own) if u.sign][:3]
    offered = tuple(dict.fromkeys(filter(None, [unit(own).sign, *others])))
    if len(offered) > 1:
        return offered, _("%(one)s or %(other)s", one=offered[0], other=offered[1])
    return offered, "".join(offered)


def parts_list(mould: Mould, exercise: Exercise, lengths: str = "drawn") -> list[dict[str, Any]]:
    """Return the given quantities grouped by what they belong to, the unknown among them."""
    drill = mould.read.drill
    part = drill.situations[exercise.situation].part
    related = mould.read.related
    rows = []
    for symbol, quantity in drill.quantities.items():
        unknown = symbol == exercise.find
        if symbol not in exercise.texts and not unknown:
            continue
        owner = part if quantity.of in {None, "part"} else quantity.of
        value = "" if unknown else with_unit(exercise.texts[symbol], quantity.unit)
        if quantity.count and not unknown:
            value = as_read(exercise.texts[symbol])
        sign = _symbol(drill, symbol) if symbol in related else ""
        rows.append(
            (
                owner,
                {
                    "name": quantity.name,
                    "symbol": sign,
                    "value": value,
                    "unknown": unknown,
                    "note": "" if unknown else _beside(drill, symbol, exercise, lengths),
                },
            )
        )
    order = list(dict.fromkeys(owner for owner, _ in rows))
    rows.sort(key=lambda row: order.index(row[0]))
    groups = groupby(rows, key=lambda row: row[0])
    return [
        {"no": i, "part": owner, "rows": [r for _, r in group]} for i, (owner, group) in enumerate(groups, 1)
    ]


_OTHER = {"mm": {"in", "ft"}, "in": {"mm", "cm", "m"}}


def _beside(drill: Drill, symbol: str, exercise: Exercise, lengths: str) -> str:
    """Write a given length in the unit a person likes better; nothing where turning it is the question."""
    own = drill.quantities[symbol].unit
    if drill.accept.own_unit or own not in _OTHER.get(lengths, ()):
        return ""
    return amount(unit(own).to(unit(lengths), exercise.given[symbol]), lengths, 4)


def _symbol(drill: Drill, symbol: str) -> str:
    shown = drill.quantities[symbol].shown
    return shown or (symbol if len(symbol) <= 5 else "")


def verdict_view(mould: Mould, exercise: Exercise, verdict: Verdict, fid: str = "dial") -> dict[str, Any]:
    """Return the data of pieces/verdict.html, with the dial drawn for this answer."""
    quantity = mould.read.drill.quantities[mould.find]
    right, sign = exercise.accepted, unit(quantity.unit).sign
    picture = ""
    if verdict.value is not None and verdict.value > 0:
        picture = dial(verdict.value, right.low, right.high, sign, quantity.name, fid=fid)
    return {
        "kind": verdict.kind,
        "heading": verdict.heading,
        "says": list(verdict.says),
        "dial_svg": picture,
        "answered": written(mould, verdict.value) if verdict.value is not None else "",
        "accepted_text": limits(mould, right),
    }


def working_view(
    bank: Bank, mould: Mould, exercise: Exercise, verdict: Verdict | None = None
) -> dict[str, Any]:
    """Return the data of pieces/working.html; with a wrong verdict the trainee's side stands beside the right one."""
    drill = mould.read.drill
    slips = (
        () if verdict is None or verdict.right else verdict.slips if verdict.together else verdict.slips[:1]
    )
    return {
        "steps": [
            {
                "name": line.name,
                "note": line.note,
                "right_mathml": line.right_mathml,
                "right_text": line.right_text,
                "slip_mathml": line.slip_mathml,
                "enters": line.enters,
                "note_at_slip": line.note_at_slip,
            }
            for line in working(mould, exercise, slips)
        ],
        "accepted_says": accepted_says(mould, exercise),
        "source": sources_view(drill),
        "cautions": [bank.cautions[c].text for c in drill.cautions if c in bank.cautions],
    }


def example_view(bank: Bank, mould: Mould, exercise: Exercise) -> dict[str, Any]:
    """Return a worked example: what is given, in words, and its working."""
    drill = mould.read.drill
    return {
        "heading": ask(drill, exercise.find),
        "given": given_words(mould, exercise),
        "figure_svg": sketch(drill, exercise, "example", solved=True).svg,
        "working": working_view(bank, mould, exercise),
    }


def given_words(mould: Mould, exercise: Exercise) -> list[str]:
    """Return what is given, each with its name."""
    quantities = mould.read.drill.quantities
    return [f"{quantities[s].name} {with_unit(t, quantities[s].unit)}" for s, t in exercise.texts.items()]


def answer_words(mould: Mould, exercise: Exercise) -> str:
    """Return the right answer; of a band both limits."""
    if mould.band:
        return limits(mould, exercise.accepted)
    return written(mould, exercise.answer)


def sources_view(drill: Drill | Formula) -> list[dict[str, str]]:
    """Return each source of a drill or a formula with how far it was read."""
    return source_rows(drill.sources)


def source_rows(sources: Sequence[Source]) -> list[dict[str, str]]:
    """Return the data of pieces/source.html."""
    return [
        {
            "document": s.document,
            "edition": s.edition or "",
            "clause": s.clause or "",
            "status": s.status,
            "says": s.says or "",
        }
        for s in sources
    ]


def solved_figure(mould: Mould, exercise: Exercise, verdict: Verdict | None, fid: str = "solved") -> str:
    """Return the figure with the result in it and the quantity a slip is about in the live colour."""
    live: set[str] = set()
    for index, slip in enumerate(mould.read.drill.slips):
        if verdict is not None and slip.id in verdict.slips[:1]:
            live |= mould.read.touched(index)
    return sketch(mould.read.drill, exercise, fid, solved=True, live=live).svg


def field_view(bank: Bank, mould: Mould, exercise: Exercise) -> dict[str, Any] | None:
    """Return the data of pieces/why.html: the rule's last line and the computed field; None where there is none."""
    drill = mould.read.drill
    picture = field_picture(drill, exercise, "field")
    if picture is None:
        return None
    last = working(mould, exercise)[-1]
    return {
        "heading": picture.figure.title,
        "rule_mathml": last.right_mathml,
        "rule_name": last.name,
        "picture_svg": picture.figure.svg,
        "scale": picture.figure.scale_says,
        "facts": [(fact.name, fact.says) for fact in picture.facts],
        "model": picture.model,
        "cautions": [bank.cautions[c].text for c in drill.cautions if c in bank.cautions],
        "source": sources_view(drill),
    }


def title_rows(drill: Drill, exercise: Exercise) -> list[tuple[str, str, str]]:
    """Return the title block of an exercise sheet."""
    source = drill.sources[0]
    where = ", ".join(filter(None, (cited(text, source.status) for text in (source.document, source.clause))))
    mark = _("unconfirmed: check your copy") if drill.unconfirmed else _(STATUS[source.status])
    name = drill.quantities[exercise.find].name
    return [
        (_("Drill"), drill.title, "wide c6 major"),
        (_("Find"), name, ""),
        (_("Edition"), exercise.edition[:8], ""),
        (_("Seed"), str(exercise.seed), ""),
        (_("Source"), f"{where} ({mark})", "wide c6"),
    ]
