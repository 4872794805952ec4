"""Every sentence of the shipped catalogues beside its Spanish, each form for one and for many on its own."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache

from babel.messages.pofile import read_po

from trainer.languages.catalogue import folders


@dataclass(frozen=True, slots=True)
class Sentence:
    """One form of a sentence: its catalogue, whether that is the bank's, the English and the Spanish."""

    catalogue: str
    of_bank: bool
    english: str
    spanish: str


@cache
def in_spanish() -> tuple[Sentence, ...]:
    """All sentences of program, pages and bank."""
    return tuple(_read())


def _read() -> Iterator[Sentence]:
    _of_program, of_bank = folders("es")
    for path in (path for folder in folders("es") for path in sorted(folder.glob("*.po"))):
        with path.open("rb") as file:
            for message in read_po(file, locale="es"):
                if message.id:
                    for english, spanish in zip(_forms(message.id), _forms(message.string), strict=True):
                        yield Sentence(path.stem, path.parent == of_bank, english, spanish)


def _forms(text: object) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)  # type: ignore[arg-type]  # babel's own types
