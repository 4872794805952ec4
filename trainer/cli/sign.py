"""`trainer sign`: put a person's signature to a record, beside its issuer's, on any machine."""

from __future__ import annotations

from pathlib import Path

import click

from trainer import private_files
from trainer.cli.opening import now, write_new
from trainer.cli.verify import read_bytes
from trainer.errors import Conflict, Refused

ROLES = ("examiner", "Level III", "employer")  # as the records room has them
MAX_KEY_BYTES = 1_000_000


@click.command()
@click.argument("file", type=click.Path(path_type=Path))
@click.option(
    "--key",
    "key_file",
    required=True,
    type=click.Path(path_type=Path),
    help="Your key file, made with: trainer key make",
)
@click.option(
    "--as",
    "role",
    required=True,
    type=click.Choice(ROLES, case_sensitive=False),
    help="As what you sign; the record must name your key as just that.",
)
@click.option(
    "--out",
    type=click.Path(dir_okay=False, path_type=Path),
    help="Write to this new file; without it FILE gets the signature.",
)
def sign(file: Path, key_file: Path, role: str, out: Path | None) -> None:
    """Sign the record FILE (JSON, or the certificate PDF with it inside) beside its issuer.

    The record must name your key among those who are to sign it: the employer chooses them when it is exported.
    What you sign is shown before you are asked for the passphrase. No house, no account and no network is needed.
    Send the signed file back to the employer, or on: everybody who verifies it reads who signed as what.

    \\b
    Examples:
      trainer sign tess.json --key emma.pem --as "Level III"
      trainer sign tess.pdf --key emma.pem --as "Level III" --out tess-signed.pdf
    """
    from trainer.records import claims, cosigning, keyfile
    from trainer.records.verification import MAX_FILE_BYTES
    from trainer.services.proving.records import time_text

    if out is not None and out.exists():
        raise Conflict(f"{out} exists already. Name a new file.")
    data, pem = read_bytes(file, MAX_FILE_BYTES), read_bytes(key_file, MAX_KEY_BYTES)
    document, claimed, _signed = cosigning.genuine(data)
    for says in (
        str(document.get("description", "")),
        f"About: {claimed.subject}",
        f"Issued by: {claimed.issuer_name}, {claimed.issuer}",
        *(f"To be signed by: {one.role} {one.name}, {one.did}" for one in claimed.signers),
    ):
        click.echo(says)
    key = keyfile.read(pem, click.prompt("Passphrase of your key", hide_input=True))
    signer = cosigning.may_sign(data, key.did, role)
    signed = cosigning.cosigned(data, key, role, time_text(now()))
    if claims.record_in(data) is not data:
        from trainer.records import certificate

        signed = certificate.pdf(signed, now())
    if out is None:
        _replace(file, signed)
    else:
        write_new(out, signed)
    click.echo(f"{out or file}: signed by {signer.name} as {signer.role}")


def _replace(file: Path, data: bytes) -> None:
    """Put the signed record in the place of the file, as a whole: no half of it is ever there."""
    try:
        private_files.replace(file, data)
    except OSError as problem:
        raise Refused(f"{file} cannot be written ({problem.strerror}). Name another with --out.") from problem
