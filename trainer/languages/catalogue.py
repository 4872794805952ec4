"""What a language says for each English sentence, read from its catalogues when the first reader comes."""

from __future__ import annotations

from functools import cache
from gettext import GNUTranslations
from io import BytesIO
from pathlib import Path

from trainer.settings import bank_folder

HERE = Path(__file__).parent
SAID_OF = "\x04"
"""Between a context and its sentence, as gettext keeps the two."""


def folders(tag: str) -> tuple[Path, ...]:
    """Where the catalogues of a language lie: those of the program, and those of the question bank."""
    return HERE / tag, bank_folder() / "languages" / tag


@cache
def catalogue(tag: str) -> GNUTranslations:
    """What program and pages say in a language."""
    return table(tag, folders(tag)[0])


@cache
def content_catalogue(tag: str) -> GNUTranslations:
    """What the question bank says; its words are its own: a part is a workpiece there, and a paper has parts."""
    return table(tag, folders(tag)[1])


def table(tag: str, folder: Path) -> GNUTranslations:
    """All catalogues of a folder as one table.

    The text files are read themselves, not compiled copies of them that could be older. Only what somebody has
    finished counts: an entry marked fuzzy is left English.
    """
    from babel.messages.catalog import Catalog
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    whole = Catalog(locale=tag)
    for path in sorted(folder.glob("*.po")):
        with path.open("rb") as file:
            read = read_po(file, locale=tag)
        whole.mime_headers = [("Plural-Forms", read.plural_forms)]
        for message in read:
            if message.id and message.string and not message.fuzzy:
                whole.add(message.id, message.string, context=message.context)
    compiled = BytesIO()
    write_mo(compiled, whole)
    compiled.seek(0)
    return GNUTranslations(compiled)
