"""Words that people write into files for us, taken in every language of the house: names of columns, words of cells."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from trainer.languages import LANGUAGES, reading_in
from trainer.store.folding import fold


def plain(text: str) -> str:
    """A word as it is compared: small letters without accents, single blanks, no underlines or commas."""
    return " ".join(fold(text.replace("_", " ").replace(",", " ")).split())


def in_every_language(names: Iterable[str], say: Callable[[str], str]) -> dict[str, str]:
    """What each name may be called, as ``plain`` writes it -> the name; ``say`` tells one in the reader's language.

    Where two names are called alike, the name that is English so wins, then the first.
    """
    wanted = list(names)
    found = {plain(name): name for name in wanted}
    for tag in LANGUAGES:
        with reading_in(tag):
            for name in wanted:
                found.setdefault(plain(say(name)), name)
    return found
