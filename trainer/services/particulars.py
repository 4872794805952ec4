"""What is written about a person when they are entered: number, name, e-mail. One rule for every way in."""

from __future__ import annotations

import re
import unicodedata

from trainer.errors import Refused

MOST_NUMBER = 20
MOST_NAME = 100
MOST_EMAIL = 200
MOST_SENTENCE = 300
NUMBER_MARKS = "-._/"
ROLE_WORDS = {
    "trainee": "trainee",
    "instructor": "instructor",
    "employer": "employer",
    "level_iii": "Level III",
    "examiner": "examiner",
}


def works_number(text: str) -> str:
    """The number by which a person signs in: in capitals, without spaces.

    Raises Refused for one that is empty, too long or holds other marks.
    """
    number = "".join(unicodedata.normalize("NFKC", text[:200]).upper().split())
    if not number:
        raise Refused("The works number is missing. Write one, for instance TV-07.")
    if len(number) > MOST_NUMBER:
        raise Refused(f"The works number has {len(number)} characters; write {MOST_NUMBER} or fewer.")
    if not all(mark.isalnum() or mark in NUMBER_MARKS for mark in number) or not number[0].isalnum():
        raise Refused(
            "A works number has letters, digits and - . _ / only, and begins with a letter or digit."
        )
    return number


def person_name(text: str) -> str:
    """A person's name in one line. Raises Refused for an empty, overlong or unprintable one."""
    return _line(text, "The name", MOST_NAME, "Write the person's name.")


def title(text: str, what: str = "The title") -> str:
    """The name of an organisation, a class, a set: one line. Raises Refused as person_name does."""
    return _line(text, what, MOST_NAME, "Write one.")


def sentence(text: str, what: str) -> str:
    """A sentence or two about what happened, in one line. Raises Refused as person_name does."""
    return _line(text, what, MOST_SENTENCE, "Write it in a sentence or two.")


def email(text: str) -> str | None:
    """An e-mail address, or None for nothing written. Raises Refused for what cannot be one."""
    address = text.strip()
    if not address:
        return None
    if len(address) > MOST_EMAIL or not re.fullmatch(r"[^\s@<>\"',;]+@[^\s@<>\"',;]+", address):
        raise Refused("This is no e-mail address. Write one like tess@example.org, or leave it empty.")
    return address


def role_words(roles: frozenset[str]) -> str:
    """Roles as a sentence says them, always in the same order."""
    return ", ".join(word for role, word in ROLE_WORDS.items() if role in roles)


def _line(text: str, what: str, most: int, wanted: str) -> str:
    line = " ".join(unicodedata.normalize("NFC", text[: most * 20]).split())
    if not line:
        raise Refused(f"{what} is missing. {wanted}")
    if len(line) > most:
        raise Refused(f"{what} has more than {most} characters; shorten it.")
    if any(unicodedata.category(mark) in {"Cc", "Cf", "Co", "Cn", "Cs"} for mark in line):
        raise Refused(f"{what} holds a character that cannot be shown. Type it again.")
    return line
