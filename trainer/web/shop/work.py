"""Work a part: choose a technique, say what is known of part and pack, get one sheet to print."""

from __future__ import annotations

from flask import render_template, request
from werkzeug.wrappers import Response

from trainer.errors import NotFound, Refused
from trainer.languages import _
from trainer.services.teaching import packs
from trainer.shopwork.pack import LEADS, PLATE, SHOT, Pack, read_pack
from trainer.shopwork.sheet import Asked, WorkSheet, faults_of, work_part
from trainer.store.models import Pack as KeptPack
from trainer.web.access import me, parts, this_day
from trainer.web.asking import forms
from trainer.web.sheets import part_sheet
from trainer.web.shop import bp

Page = str | tuple[str, int] | Response
_LONGEST = 80


@bp.get("/")
def techniques() -> Page:
    """Choose a technique."""
    found = [entry.technique for entry in parts().bank.techniques.values()]
    return render_template("shop/techniques.html", techniques=found)


@bp.get("/<technique>")
def part(technique: str) -> Page:
    """Say what is known of the part; what stands in the address is filled in."""
    return _form(technique, {})


@bp.get("/<technique>/sheet")
def sheet(technique: str) -> Page:
    """Show the sheet of a part, or the form again with a sentence at each field that cannot be taken."""
    read = parts().shop.technique(technique)
    texts = _texts(technique)
    pack, faults = _pack(texts)
    asked = Asked(
        technique, {name: text for name, text in texts.items() if name in _of_part(technique)},
        texts.get("find", ""), pack, texts.get("unit", ""), parts().settings.decimal,
    )  # fmt: skip
    faults |= faults_of(parts().shop, asked)
    if faults:
        return _form(technique, faults), 422
    try:
        worked = work_part(parts().shop, asked)
    except Refused as refused:
        return _form(technique, {"": str(refused)}), 422
    return _sheet(read.technique.title, worked)


def _sheet(title: str, worked: WorkSheet) -> str:
    return render_template(
        "shop/sheet.html", title=title, view=part_sheet.sheet_view(parts().bank, worked),
        title_rows=part_sheet.title_rows(worked, this_day(), me().name), back=request.args,
        technique=worked.outcome.read.technique.id,
    )  # fmt: skip


def _form(technique: str, faults: dict[str, str]) -> str:
    read = parts().shop.technique(technique)
    quantities = read.technique.quantities
    finds = [(symbol, quantities[symbol].name) for symbol in read.technique.finds]
    sizes = [(name, name) for name in parts().shop.power().power.leads]
    kept = [(str(one.id), one.name) for one in _packs()]
    return render_template(
        "shop/part.html", technique=read.technique, typed=_texts(technique), faults=faults,
        groups=part_sheet.field_groups(read.technique),
        finds=[("", _("the first that is left empty")), *finds], sizes=[("", _("not known")), *sizes],
        packs=[("", _("none, or the one written below")), *kept] if kept else [],
    )  # fmt: skip


def _texts(technique: str) -> dict[str, str]:
    """What was typed, by the name of its field; anything else in the address is left aside."""
    known = (*_of_part(technique), *PLATE, *LEADS, "find", "unit", "pack")
    return {
        name: request.args[name].strip()[:_LONGEST] for name in known if request.args.get(name, "").strip()
    }


def _of_part(technique: str) -> tuple[str, ...]:
    found = parts().shop.technique(technique).technique
    return (*found.quantities, *found.options, *SHOT)


def _pack(texts: dict[str, str]) -> tuple[Pack | None, dict[str, str]]:
    """The pack that was chosen or typed, and the faults by field."""
    plate = {name: texts[name] for name in (*PLATE, *LEADS) if name in texts}
    if "pack" in texts and plate:
        return None, {"pack": _("Choose a pack of the list, or write down another one; not both.")}
    if "pack" in texts:
        try:
            wanted = forms.number(texts["pack"])
            with parts().database.reading() as session:
                return packs.plate_of(packs.own_pack(session, me().id, wanted)), {}
        except NotFound as fault:
            return None, {"pack": str(fault)}
    typed = read_pack(parts().shop.power(), plate, decimal=parts().settings.decimal)
    return (typed.pack if plate else None), typed.faults


def _packs() -> list[KeptPack]:
    with parts().database.reading() as session:
        return packs.packs_of(session, me().id)
