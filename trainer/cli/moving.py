"""`trainer move`: take the records to another database when a file on a laptop is outgrown."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from trainer.cli.opening import records
from trainer.errors import Refused
from trainer.settings import Settings

if TYPE_CHECKING:
    from trainer.services.keeping.audit import Walk
    from trainer.store import Database


@click.command()
@click.argument("address", metavar="ADDRESS")
@click.pass_obj
def move(settings: Settings, address: str) -> None:
    """Copy all records into the empty database at ADDRESS and prove that both hold the same.

    Stop the trainer first. Every row arrives, or none; rows and digest of each table are printed, and the
    chain is walked in both. The present database stays as it is: keep it until the new one has a backup.
    A password belongs into the file .pgpass or the variable PGPASSWORD, where others do not see it. How to
    have a standby that takes over is in README.md, "When a laptop is outgrown".

    \b
    Examples:
      trainer move postgresql+psycopg://trainer@db.works.example/trainer
      trainer move "postgresql+psycopg://trainer@/trainer?host=db1&host=db2&target_session_attrs=read-write"
    """
    from trainer.store import Database
    from trainer.store.moving import move as take_along

    target = Database(address)
    try:
        with records(settings) as source:
            moved = take_along(source, target)
            here, there = chain_of(source), chain_of(target)
    finally:
        target.close()
    for content in moved:
        click.echo(f"{content.table:20} {content.rows:9} rows  {content.digest[:16]}")
    if here != there:
        raise Refused("The chains do not agree. Do not use the new database.")
    walk, newest = there
    click.echo(f"{len(moved)} tables hold the same in both. {walk.says} The newest link is {newest[:16]}.")
    click.echo(f'Write into {settings.instance / "trainer.toml"}:\n  database = "{target.url}"')
    if walk.broken is not None:
        raise Refused("The chain was broken before it was moved.")


def chain_of(database: Database) -> tuple[Walk, str]:
    """What a walk along the chain of a store finds, and the hash of its newest link."""
    from trainer.services.keeping import audit
    from trainer.services.proving import ledger_check

    with database.reading() as session:
        return ledger_check.walk(session), audit.newest(session)
