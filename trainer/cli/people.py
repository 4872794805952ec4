"""`trainer person` and `trainer roster`: who is there, for the owner of the machine."""

from __future__ import annotations

import json
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from trainer.cli.opening import first_run, now, records, write_new
from trainer.errors import Refused, Unreadable
from trainer.settings import Settings

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

    from trainer.services.teaching.roster import Slip
    from trainer.store.models import Person

ROLES = ("trainee", "instructor", "employer", "level_iii", "examiner")  # as the store has them; see the tests


@click.group()
def person() -> None:
    """Add a person, list people."""


@person.command()
@click.option("--number", required=True, help="Works number; the person signs in with it.")
@click.option("--name", required=True, help="Name as it stands on certificates.")
@click.option(
    "--role", "roles", multiple=True, required=True, type=click.Choice(ROLES), help="May be repeated."
)
@click.option("--organisation", default="", help="Employer or school; needed for the first person only.")
@click.option("--email", default="", help="May be left out.")
@click.option("--json", "as_json", is_flag=True, help="Print one object for scripts.")
@click.pass_obj
def add(
    settings: Settings,
    number: str,
    name: str,
    roles: tuple[str, ...],
    organisation: str,
    email: str,
    as_json: bool,
) -> None:
    """Add a person and print the code with which they choose a passphrase.

    \b
    Example:
      trainer person add --number TV-12 --name "Tess Fell" --role trainee
    """
    from trainer.services.admitting import accounts, joining

    database = first_run(settings)
    moment = now()
    with database.writing() as session:
        home = _home(session, organisation)
        one = accounts.add_person(session, home, number, name, frozenset(roles), moment, email)
        code = joining.join_code(session, None, one.id, moment, settings.join_days)
        facts = {**_facts(one), "join_code": code}
    database.close()
    if as_json:
        click.echo(json.dumps(facts, ensure_ascii=False))
        return
    click.echo(f"{one.name} is entered with the works number {one.works_number}.")
    click.echo(f"Join code, good once and for {settings.join_days} days: {code[:4]} {code[4:]}")
    click.echo("It is typed on the sign-in page under 'join'. It is not shown again.")


@person.command("list")
@click.option("--json", "as_json", is_flag=True, help="Print a list of objects for scripts.")
@click.pass_obj
def list_people(settings: Settings, as_json: bool) -> None:
    """List everybody with works number, name and roles."""
    from trainer.services.admitting import accounts

    with records(settings) as database, database.reading() as session:
        people = accounts.everybody(session)
        facts = [_facts(one) for one in people]
    if as_json:
        click.echo(json.dumps(facts, ensure_ascii=False))
        return
    for one in facts:
        click.echo(f"{one['works_number']:<12}  {one['name']:<32}  {', '.join(one['roles'])}")
    click.echo(f"{len(facts)} {'person' if len(facts) == 1 else 'people'}")


@click.group()
def roster() -> None:
    """Take a class list from a spreadsheet."""


@roster.command("import")
@click.argument("file", type=click.Path(exists=True, dir_okay=False, path_type=Path))
@click.option("--by", default="", metavar="NUMBER", help="Works number of the instructor who enters them.")
@click.option("--check", is_flag=True, help="Only look at every row; enter nobody.")
@click.option(
    "--slips", type=click.Path(dir_okay=False, path_type=Path), help="Write join codes to this CSV file."
)
@click.pass_obj
def take(settings: Settings, file: Path, by: str, check: bool, slips: Path | None) -> None:
    """Enter everybody of a CSV or XLSX file, or nobody if a row is bad.

    The first row names the columns: name, works number, and if wished e-mail and class.

    \b
    Examples:
      trainer roster import class.xlsx --check
      trainer roster import class.csv --by TV-2 --slips codes.csv
    """
    from trainer.services.admitting import roster_file
    from trainer.services.teaching import roster as rosters

    try:
        rows = roster_file.read(file.read_bytes())
    except OSError as problem:
        raise Unreadable(f"{file} cannot be read: {problem.strerror}.") from problem
    if slips and slips.exists():
        raise Refused(f"{slips} exists already. Name a new file for the join codes.")
    with records(settings) as database, database.writing() as session:
        by_id = _instructor(session, by)
        preview = rosters.check(session, by_id, rows)
        if preview.bad:
            for bad in preview.bad:
                click.echo(f"{file}:{bad.line}: {bad.says}", err=True)
            raise Refused(f"{len(preview.bad)} of {len(rows)} rows cannot be taken. Nobody was entered.")
        if check:
            click.echo(
                f"All {len(rows)} rows can be taken; {preview.new} people are new. Nobody was entered."
            )
            return
        moment = now()
        ids = rosters.take(session, by_id, rows, moment)
        made = rosters.slips(session, by_id, ids, moment, settings.join_days) if slips else []
        if slips:
            _write_slips(slips, made)  # inside the transaction: no codes on paper, no codes in the records
    click.echo(f"{len(rows)} rows taken, {preview.new} people new.")
    click.echo(
        f"{len(made)} join codes are in {slips}."
        if slips
        else "Join slips can be printed on the people page."
    )


def _facts(one: Person) -> dict[str, Any]:
    return {"id": one.id, "name": one.name, "roles": sorted(one.roles), "works_number": one.works_number}


def _home(session: Session, organisation: str) -> int:
    from trainer.services.admitting import accounts

    if organisation:
        return accounts.organisation(session, organisation, now()).id
    homes = {one.organisation_id for one in accounts.everybody(session)}
    if len(homes) == 1:
        return homes.pop()
    raise Refused("Say for whom this person works: --organisation NAME")


def _instructor(session: Session, number: str) -> int:
    from trainer.services.admitting import accounts

    if number:
        chosen = accounts.person_numbered(session, number)
        if not chosen.roles & {"instructor", "employer"}:
            raise Refused(f"{chosen.name} is no instructor. Name one with --by NUMBER.")
        return chosen.id
    able = [one for one in accounts.everybody(session) if "instructor" in one.roles and one.left_at is None]
    if len(able) == 1:
        return able[0].id
    raise Refused("Say which instructor enters them: --by NUMBER ('trainer person list' shows the numbers).")


def _write_slips(file: Path, slips: list[Slip]) -> None:
    import csv
    import io

    out = io.StringIO(newline="")
    writer = csv.writer(out)
    writer.writerow(["name", "works number", "join code"])
    writer.writerows((slip.name, slip.works_number, slip.code) for slip in slips)
    write_new(file, out.getvalue().encode("utf-8"))
