"""What is written about a person when they are entered: number, name, e-mail. One rule for every way in."""

from __future__ import annotations

import re
import unicodedata

from trainer.errors import Refused
from trainer.languages import N_, _

MOST_NUMBER = 20
MOST_NAME = 100
MOST_EMAIL = 200
MOST_SENTENCE = 300
NUMBER_MARKS = "-._/"
ROLE_WORDS = {
    "trainee": N_("trainee"),
    "instructor": N_("instructor"),
    "employer": N_("employer"),
    "level_iii": N_("Level III"),
    "examiner": N_("examiner"),
}


def works_number(text: str) -> str:
    """The number by which a person signs in: in capitals, without spaces.

    Raises Refused for one that is empty, too long or holds other marks.
    """
    number = "".join(unicodedata.normalize("NFKC", text[:200]).upper().split())
    if not number:
        raise Refused(_("The works number is missing. Write one, for instance TV-07."))
    if len(number) > MOST_NUMBER:
        raise Refused(
            _(
                "The works number has %(has)s characters; write %(most)s or fewer.",
                has=len(number),
                most=MOST_NUMBER,
            )
        )
    if not all(mark.isalnum() or mark in NUMBER_MARKS for mark in number) or not number[0].isalnum():
        raise Refused(
            _("A works number has letters, digits and - . _ / only, and begins with a letter or digit.")
        )
    return number


def person_name(text: str) -> str:
    """A person's name in one line. Raises Refused for an empty, overlong or unprintable one."""
    return _line(text, N_("The name"), MOST_NAME, N_("Write the person's name."))


def title(text: str, what: str = N_("The title")) -> str:
    """The name of an organisation, a class, a set: one line. Raises Refused as person_name does."""
    return _line(text, what, MOST_NAME, N_("Write one."))


def sentence(text: str, what: str) -> str:
    """A sentence or two about what happened, in one line. Raises Refused as person_name does."""
    return _line(text, what, MOST_SENTENCE, N_("Write it in a sentence or two."))


def email(text: str) -> str | None:
    """An e-mail address, or None for nothing written. Raises Refused for what cannot be one."""
    address = text.strip()
    if not address:
        return None
    if len(address) > MOST_EMAIL or not re.fullmatch(r"[^\s@<>\"',;]+@[^\s@<>\"',;]+", address):
        raise Refused(_("This is no e-mail address. Write one like tess@example.org, or leave it empty."))
    return address


def role_words(roles: frozenset[str]) -> str:
    """Roles as a sentence says them, always in the same order."""
    return ", ".join(_(word) for role, word in ROLE_WORDS.items() if role in roles)


def _line(text: str, what: str, most: int, wanted: str) -> str:
    line = " ".join(unicodedata.normalize("NFC", text[: most * 20]).split())
    if not line:
        raise Refused(_("%(what)s is missing. %(do)s", what=_(what), do=_(wanted)))
    if len(line) > most:
        raise Refused(_("%(what)s has more than %(most)s characters; shorten it.", what=_(what), most=most))
    if any(unicodedata.category(mark) in {"Cc", "Cf", "Co", "Cn", "Cs"} for mark in line):
        raise Refused(_("%(what)s holds a character that cannot be shown. Type it again.", what=_(what)))
    return line
