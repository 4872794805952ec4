"""`trainer work` and `trainer mark`: solve a drill with one's own values, judge a typed answer."""

from __future__ import annotations

import json
import sys

import click

from trainer.errors import Refused
from trainer.settings import Settings


@click.command()
@click.argument("drill")
@click.option(
    "--given",
    "-g",
    multiple=True,
    metavar="SYMBOL=VALUE",
    help='A value with its unit: "L=10 in". Repeat for each.',
)
@click.option("--find", help="The unknown; the drill's first one that is not given if left out.")
@click.option("--in", "in_unit", help="The unit of the result.")
@click.option("--json", "as_json", is_flag=True, help="Print one object.")
@click.pass_obj
def work(
    settings: Settings,
    drill: str,
    given: tuple[str, ...],
    find: str | None,
    in_unit: str | None,
    as_json: bool,
) -> None:
    """Solve DRILL with the values of a real part.

    \b
    trainer work coil-low-fill-wall -g "L=10 in" -g "D=2 in" -g "N=5"
    trainer work coil-low-fill-wall -g "N=5" -g "I=1000 A" --find ratio
    trainer work convert-length -g "a=3 1/2 in" --in mm
    """
    from trainer.drills.telling import as_data, as_text
    from trainer.drills.work import work as solve
    from trainer.services.banks import open_shelf

    worked = solve(open_shelf(settings.private_bank), drill, _pairs(given), find, in_unit)
    if as_json:
        shared = worked.unit if in_unit is None else None
        data = as_data(worked.mould, worked.exercise, worked.unit if in_unit else None, shared)
        click.echo(
            json.dumps({**data, "answer": {"value": worked.value, "unit": worked.unit}}, ensure_ascii=False)
        )
    else:
        click.echo(as_text(worked.mould, worked.exercise, worked.value, worked.unit))


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
    from trainer.services.banks import open_shelf

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
