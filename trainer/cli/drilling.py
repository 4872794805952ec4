"""`trainer work` and `trainer mark`: work a real part or a drill with one's own values, judge a typed answer."""

from __future__ import annotations

import json
import sys
from typing import TYPE_CHECKING

import click

from trainer.errors import Refused
from trainer.settings import Settings

if TYPE_CHECKING:
    from trainer.drills.shelf import Shelf
    from trainer.shopwork.pack import Pack
    from trainer.shopwork.shelf import ShopShelf


@click.command()
@click.argument("what", metavar="TECHNIQUE|DRILL")
@click.option(
    "--given",
    "-g",
    multiple=True,
    metavar="SYMBOL=VALUE",
    help='A value with its unit: "L=10 in". Repeat for each.',
)
@click.option("--find", help="The unknown; the first one that is not given if left out.")
@click.option("--in", "in_unit", help="The unit of the result.")
@click.option("--pack", help="A pack of this instance, by its name.")
@click.option("--rated", help='Rated current of the pack: "3600 A".')
@click.option("--duty", help='Its duty: "25 %".')
@click.option("--period", help='The period of the duty: "4 min".')
@click.option("--lead", help='Size of the leads: "4/0 AWG", "95 mm2".')
@click.option("--lead-length", "distance", help='Their length one way: "10 m".')
@click.option("--on", help='How long one shot lasts: "4 s".')
@click.option("--set", "current", help='The current you will set, if it is not the result: "700 A".')
@click.option("--json", "as_json", is_flag=True, help="Print one object.")
@click.pass_obj
def work(
    settings: Settings, /, what: str, given: tuple[str, ...], find: str | None, in_unit: str | None,
    pack: str | None, as_json: bool, **shop: str | None,
) -> None:  # fmt: skip
    """Work a real part by a TECHNIQUE, or solve one DRILL with its values.

    \b
    A technique (coil, prods, head-shot, central-conductor, yoke, demagnetization)
    chooses the drill by its documented conditions, says why, and judges the pack:
    trainer work coil -g "L=10 in" -g "D=2 in" -g "coil=12 in" -g N=5
    trainer work coil -g "L=10 in" -g "D=2 in" -g N=5 -g rule=asme --rated "3600 A" --duty "25 %" --period "4 min" --on "4 s"
    A drill takes its own symbols:
    trainer work coil-low-fill-wall -g "N=5" -g "I=1000 A" --find ratio
    trainer work convert-length -g "a=3 1/2 in" --in mm
    """
    from trainer.services.authoring.banks import open_shelf

    shelf = open_shelf(settings.private_bank)
    texts = {name: text for name, text in shop.items() if text is not None}
    if what in shelf.bank.techniques:
        told, fits = _worked_part(settings, shelf, what, _pairs(given), find, in_unit, pack, texts, as_json)
    elif pack or texts:
        raise Refused(
            f"A pack is judged for a technique: {', '.join(shelf.bank.techniques)}. Leave its options out."
        )
    else:
        told, fits = _worked_drill(shelf, what, _pairs(given), find, in_unit, as_json), True
    click.echo(told)
    sys.exit(0 if fits else 1)


def _worked_part(
    settings: Settings, shelf: Shelf, technique: str, given: dict[str, str], find: str | None,
    in_unit: str | None, pack: str | None, texts: dict[str, str], as_json: bool,
) -> tuple[str, bool]:  # fmt: skip
    """The sheet in words or as data, and whether there is a result."""
    from trainer.shopwork.sheet import Asked, work_part
    from trainer.shopwork.shelf import ShopShelf
    from trainer.shopwork.telling import as_data, as_text, wanted_text

    shop = ShopShelf(shelf)
    if not given:
        raise Refused(wanted_text(shop.technique(technique).technique))
    shot = {name: texts[name] for name in ("on", "current") if name in texts}
    plate = _pack(settings, shop, pack, {n: t for n, t in texts.items() if n not in shot})
    asked = Asked(technique, given | shot, find or "", plate, in_unit or "", settings.decimal)
    sheet = work_part(shop, asked)
    told = json.dumps(as_data(sheet), ensure_ascii=False) if as_json else as_text(shelf.bank, sheet)
    return told, sheet.result is not None


def _pack(settings: Settings, shop: ShopShelf, name: str | None, texts: dict[str, str]) -> Pack | None:
    """The pack that is meant: one of the instance, or one written down in the options."""
    from trainer.shopwork.pack import read_pack

    if name is not None and texts:
        raise Refused("Name a pack with --pack, or write its values; not both.")
    if name is not None:
        from trainer.cli.opening import records
        from trainer.services.teaching import packs

        with records(settings) as database, database.reading() as session:
            return packs.plate_of(packs.named(session, name))
    typed = read_pack(shop.power(), texts, decimal=settings.decimal) if texts else None
    for field, says in typed.faults.items() if typed else ():
        raise Refused(f"{'lead-length' if field == 'distance' else field}: {says}")
    return typed.pack if typed else None


def _worked_drill(
    shelf: Shelf, drill: str, given: dict[str, str], find: str | None, in_unit: str | None, as_json: bool
) -> str:
    from trainer.drills.telling import as_data, as_text
    from trainer.drills.work import work as solve

    worked = solve(shelf, drill, given, find, in_unit)
    if not as_json:
        loud = [f"WARNING: {text}" for text in worked.warnings]
        return "\n".join([*loud, as_text(worked.mould, worked.exercise, worked.value, worked.unit)])
    shared = worked.unit if in_unit is None else None
    data = as_data(worked.mould, worked.exercise, worked.unit if in_unit else None, shared)
    answer = {"value": worked.value, "unit": worked.unit}
    return json.dumps({**data, "answer": answer, "warnings": worked.warnings}, ensure_ascii=False)


def _pairs(given: tuple[str, ...]) -> dict[str, str]:
    pairs: dict[str, str] = {}
    for text in given:
        symbol, equals, value = text.partition("=")
        if not equals:
            raise Refused(f"'{text[:40]}' is not of the form SYMBOL=VALUE, such as \"L=10 in\"")
        if symbol.strip() in pairs:
            raise Refused(f"{symbol.strip()[:20]} is given twice; keep one")
        pairs[symbol.strip()] = value
    return pairs


@click.command()
@click.argument("drill")
@click.option("--seed", type=int, required=True, help="Which exercise.")
@click.option("--find", help="The unknown; the drill's first one if left out.")
@click.option("--answer", required=True, help='What was typed: "1800 A".')
@click.option("--decimal", type=click.Choice(["point", "comma"]), default="point", show_default=True)
@click.option("--json", "as_json", is_flag=True, help="Print one object.")
@click.pass_obj
def mark(
    settings: Settings, drill: str, seed: int, find: str | None, answer: str, decimal: str, as_json: bool
) -> None:
    """Judge a typed answer to the exercise of DRILL with this seed."""
    from trainer.drills.draw import draw
    from trainer.drills.marking import mark as judge
    from trainer.services.authoring.banks import open_shelf

    mould = open_shelf(settings.private_bank).mould(drill, find)
    verdict = judge(mould, draw(mould, seed), answer, decimal)
    if as_json:
        says = " ".join((f"{verdict.heading}.", *verdict.says))
        click.echo(
            json.dumps({"verdict": verdict.kind, "slip": verdict.slip, "says": says}, ensure_ascii=False)
        )
    else:
        click.echo("\n".join((verdict.heading, *verdict.says)))
    sys.exit(0 if verdict.right else 1 if verdict.kind == "wrong" else 2)
