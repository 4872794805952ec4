"""`trainer key`: the signing key of this installation, the next one, and personal keys."""

from __future__ import annotations

import secrets
from pathlib import Path

import click

from trainer.cli.opening import now, records, write_new
from trainer.errors import Conflict, Refused
from trainer.settings import Settings


@click.group()
def key() -> None:
    """Show the signing key; introduce the next one; make a personal key."""


@key.command()
@click.pass_obj
def show(settings: Settings) -> None:
    """Print the public name of the key, to be compared aloud; nothing secret is shown."""
    from trainer.services.proving import signing_key

    click.echo(signing_key.load(settings.instance).did)


@key.command()
@click.option(
    "--out", required=True, type=click.Path(dir_okay=False, path_type=Path), help="A new file to write."
)
def make(out: Path) -> None:
    """Make a personal key for signing records beside an issuer, on any machine.

    The file opens with your passphrase only, and nobody can open it without; keep a copy in a safe place of its
    own. Tell the house the public name that is printed: under 'Sign records', or read it aloud to the employer.

    \b
    Example:
      trainer key make --out emma.pem
    """
    from trainer.records import keyfile
    from trainer.services.proving import signing_key

    if out.exists():
        raise Conflict(f"{out} exists already. Name a new file.")
    new = signing_key.fresh()
    passphrase = click.prompt("Passphrase", hide_input=True, confirmation_prompt=True)
    write_new(
        out, keyfile.written(new, passphrase, secrets.token_bytes(keyfile.SALT_BYTES + keyfile.IV_BYTES))
    )
    click.echo(f"{out}: your key, readable by your account only. Its public name, for the house:")
    click.echo(new.did)


@key.command()
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write the introduction to this new file too, to be sent to employers.",
)
@click.pass_obj
def rotate(settings: Settings, out: Path | None) -> None:
    """Put a new signing key in the place of the old one, introduced by it.

    Records that the old key signed stay verifiable. Whoever believes the old key takes the new one up with the
    introduction: on their page of issuers, or by their own administrator. Make a backup of the new signing.key
    as soon as it is made, in a safe place of its own. A LOST key introduces nothing: see README.md, Lost key.

    \b
    Example:
      trainer key rotate --out new-key-of-tarn-valley.json
    """
    from trainer.services.proving import key_rotation, signing_key

    if out is not None and out.exists():
        raise Conflict(f"{out} exists already. Name a new file.")
    new = signing_key.fresh()
    with records(settings) as database, database.writing() as session:
        name = signing_key.fresh_urn()
        file = key_rotation.rotate(session, settings.instance, new, name, now())
    if out is not None:
        try:
            out.write_bytes(file.read_bytes())
        except OSError as problem:
            raise Refused(
                f"The key is changed, but {out} cannot be written ({problem.strerror}). The introduction "
                f"lies in {file}."
            ) from problem
    click.echo(f"The new key is {new.did}")
    click.echo(f"Its introduction, to be sent to everybody who verifies your records: {out or file}")
    click.echo(
        "Keep a copy of the new signing.key in a safe place of its own, and destroy copies of the old one."
    )
