"""`trainer export`: write one person's record to a file, as the employer's pages do."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING

import click

from trainer.cli.opening import now, records, write_new
from trainer.errors import Conflict, Refused, Unreadable
from trainer.settings import Settings

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from trainer.services.proving.record_signers import Offer
    from trainer.store.models import Person

FORMS = (
    "credential",
    "certificate",
    "csv",
    "xlsx",
    "calendar",
    "history",
    "activity",
    "data",
)  # as the service has them

LEVELS = {"1": "I", "2": "II"}


@click.command()
@click.argument("person")
@click.option("--as", "form", required=True, type=click.Choice(FORMS), help="In which form.")
@click.option(
    "--out", required=True, type=click.Path(dir_okay=False, path_type=Path), help="A new file to write."
)
@click.option(
    "--scheme", "scheme_id", default="", metavar="ID", help="Judge by this scheme; else the usual one."
)
@click.option("--level", default="", metavar="L", help="I or II; else the usual one.")
@click.option("--on", "on_text", default="", metavar="DATE", help="Judge for this day; today if left out.")
@click.option(
    "--by", default="", metavar="NUMBER", help="Works number of the employer in whose name it is done."
)
@click.option(
    "--signer",
    "signers",
    multiple=True,
    metavar="NUMBER",
    help="Works number of somebody who is to sign it beside the house, with a key of their own. Repeatable.",
)
@click.option(
    "--status",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the signed status list to this new file too.",
)
@click.pass_obj
def export(
    settings: Settings,
    person: str,
    form: str,
    out: Path,
    scheme_id: str,
    level: str,
    on_text: str,
    by: str,
    signers: tuple[str, ...],
    status: Path | None,
) -> None:
    """Write the record of PERSON (works number) to a file; every export is noted in the chain.

    It says which prerequisites the records meet on a day. It certifies nobody.

    \b
    Examples:
      trainer export TV-07 --as credential --out tess.json --status status.json
      trainer export TV-07 --as certificate --scheme SNT-2020 --level I --signer TV-91 --out tess.pdf
      trainer export TV-07 --as history --out tess.yaml
    """
    from trainer.services.admitting import accounts
    from trainer.services.proving import exporting, issuers, signing_key, withdrawals
    from trainer.services.qualifying import schemes, standing

    for file in filter(None, (out, status)):
        if file.exists():
            raise Conflict(f"{file} exists already. Name a new file.")
    moment = now()
    on = _day(on_text, moment)
    with records(settings) as database:
        key = signing_key.ensure(settings.instance)
        known = schemes.known(settings.private_bank)
        with database.writing() as session:
            found = accounts.person_numbered(session, person)
            by_id = _employer(session, found, by)
            house = found.organisation.name
            issuers.ensure_own(settings.instance, key.did, house)
            placed = standing.place(session, found, on, known, scheme_id, LEVELS.get(level, level))
            named = _named(session, by_id, found.id, signers)
            made = exporting.export(session, placed, form, by_id, key, signing_key.fresh_urn(), moment, named)
            write_new(out, made.data)  # inside the transaction: no note of a file that was never written
            if status:
                earlier = issuers.earlier_keys(settings.instance, key.did)
                write_new(status, withdrawals.status_lists(session, key, house, moment, earlier).data)
            says = placed.standing.says
    click.echo(
        f"{out} ({len(made.data):,} bytes): {exporting.FORMS[form][0]} of {found.works_number} {found.name}"
    )
    click.echo(says)
    if form in exporting.SIGNED:
        click.echo(f"Signed by {house}, {key.did}")
        for one in named:
            click.echo(f"To be signed by {one.person.name} as {one.role}, {one.did}")


def _day(text: str, moment: datetime) -> date:
    from trainer.qualification.reading.fields import day_of
    from trainer.services.keeping.moments import local_day

    day = day_of(text) if text else local_day(moment)
    if day is None:
        raise Unreadable("Write the day as a day of the calendar, such as --on 2026-11-25.")
    return day


def _employer(session: Session, person: Person, number: str) -> int:
    from trainer.services.admitting import accounts

    if number:
        chosen = accounts.person_numbered(session, number)
        if "employer" not in chosen.roles or chosen.organisation_id != person.organisation_id:
            raise Refused(f"{chosen.name} is no employer of {person.name}. Name one with --by NUMBER.")
        return chosen.id
    able = [one for one in accounts.people_of(session, person.id, with_left=False) if "employer" in one.roles]
    if len(able) == 1:
        return able[0].id
    raise Refused(
        "Say in which employer's name it is done: --by NUMBER ('trainer person list' shows the numbers)."
    )


def _named(session: Session, by_id: int, person_id: int, numbers: Sequence[str]) -> tuple[Offer, ...]:
    """Who is to sign it, each in the first role in which they may."""
    from trainer.services.admitting.particulars import works_number
    from trainer.services.proving import record_signers

    offers = {
        one.person.works_number: one for one in reversed(record_signers.offers(session, by_id, person_id))
    }
    wanted = list(dict.fromkeys(works_number(number) for number in numbers))
    unable = next((number for number in wanted if number not in offers), None)
    if unable is not None:
        able = ", ".join(sorted(offers)) or "nobody yet"
        raise Refused(
            f"{unable} cannot sign this record: no role that signs it, or no key yet. Able are: {able}."
        )
    return tuple(offers[number] for number in wanted)
