"""`trainer demo`: fill an empty instance with the invented shop."""

from __future__ import annotations

import click

from trainer.errors import Refused
from trainer.settings import Settings, bank_folder


@click.command()
@click.pass_obj
def demo(settings: Settings) -> None:
    """Fill an empty instance with the invented Tarn Valley shop.

    \b
    trainer --instance try demo
    trainer --instance try serve
    """
    from trainer.cli.opening import first_run, now
    from trainer.drills.shelf import Shelf
    from trainer.services.inventing import demo as scenario

    database = first_run(settings)
    try:
        lines = list(scenario.fill(database, Shelf.of_folder(bank_folder()), now()))
    finally:
        database.close()
    if not lines:
        raise Refused(
            f"There are people in {settings.instance} already, and invented ones must not mix with them. "
            "Choose an empty folder: trainer --instance DIR demo"
        )
    for line in lines:
        click.echo(line)
