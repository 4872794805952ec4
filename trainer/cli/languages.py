"""`trainer languages`: bring the catalogues up to date with pages, program and bank, and say what is missing."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import click

from trainer.errors import Refused
from trainer.settings import bank_folder, templates_folder

PACKAGE = Path(__file__).parents[1]


def content_texts() -> Iterator[tuple[str, str, str]]:
    """Yield every text of the shipped content: (catalogue, text, file it stands in)."""
    from trainer.bank import load_bank
    from trainer.bank.texts import texts
    from trainer.qualification.scheme_reader import read_schemes

    yield from texts(load_bank(bank_folder()))
    for scheme in read_schemes(bank_folder() / "schemes").values():
        yield from (("schemes", text, f"schemes/{scheme.id}.yaml") for text in scheme.prose())


@click.command()
@click.option("--only-count", is_flag=True, help="Say what is missing and write nothing.")
@click.option("--json", "as_json", is_flag=True, help="Print one object, with every missing sentence.")
def languages(only_count: bool, as_json: bool) -> None:
    """Gather every sentence of pages, program and question bank into the catalogues of each language.

    What was translated stays; a sentence that was changed comes empty. Then open the .po files in
    trainer/languages and question_bank/languages with any editor, fill in msgstr, and start the trainer anew.
    """
    from trainer.languages import LANGUAGES, WRITTEN_IN
    from trainer.languages.catalogue import folders
    from trainer.languages.gathering import counts, of_content, of_program, written

    gathered = of_program(PACKAGE, templates_folder()), of_content(content_texts())
    take = counts if only_count else written
    told: dict[str, dict[str, object]] = {}
    for tag in LANGUAGES:
        if tag == WRITTEN_IN:
            continue
        try:
            found = [
                one
                for folder, texts_there in zip(folders(tag), gathered, strict=True)
                for one in take(folder, tag, texts_there)
            ]
        except OSError as error:
            raise Refused(
                f"The catalogues cannot be written: {error.strerror}. Run this in the source folder."
            ) from None
        told[tag] = {one.name: {"texts": one.texts, "missing": list(one.missing)} for one in found}
        if not as_json:
            for one in found:
                click.echo(
                    f"{tag} {one.name:32} {one.texts:5} sentences, {len(one.missing):5} not translated"
                )
    if as_json:
        click.echo(json.dumps(told, ensure_ascii=False))
