"""Marks of papers written by hand, typed at speed: one line a paper, one sign an item, everything typed twice.

A line is the number of the paper, the candidate's works number, and the signs with or without spaces between
them: ``3 TV-07 ACB [1.8 kA] W-``. A question takes the letter chosen. A drill takes the value as it is written, in
square brackets, to be judged like one from a screen; or R or W as a person judged it by the key. Either takes -
where nothing is written. ``3 -`` takes back what was typed of paper 3 in this turn.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from trainer.errors import Refused
from trainer.languages import _

LETTERS, JUDGED, EMPTY = "ABCD", "RW", "-"
MOST_LINES = 200
MOST_FAULTS = 5
MOST_VALUE = 40  # characters of one value
MOST_SIGNS = 4000  # characters of one line's signs
_SIGN = re.compile(r"\[[^\[\]]*\]|\S")


@dataclass(frozen=True, slots=True)
class Marks:
    """What one line says: the candidate's works number as typed, and a sign for each item; nothing if taken back."""

    works_number: str
    signs: str

    @property
    def items(self) -> list[str]:
        """The sign of each item: one character, or a value in brackets."""
        return _SIGN.findall(self.signs)


def value_of(sign: str) -> str | None:
    """The value that a sign holds as it was written on the paper; None for a sign that is no value."""
    return sign[1:-1] if sign.startswith("[") else None


def read(text: str, papers: Mapping[int, Sequence[bool]]) -> dict[int, Marks]:
    """Read the lines. ``papers`` tells of each number which items are questions.

    Raises Refused with every faulty line named, up to a few; then nothing of the rest is to be taken either.
    """
    lines = [(place, line.split(None, 2)) for place, line in enumerate(text.splitlines(), 1) if line.strip()]
    if not lines:
        raise Refused(_("Type a line for each paper: its number, the works number, one sign an item."))
    if len(lines) > MOST_LINES:
        raise Refused(_("Type at most %(most_lines)s lines at once.", most_lines=MOST_LINES))
    found: dict[int, Marks] = {}
    faults: list[str] = []
    for place, words in lines:
        fault = _fault(words, papers, found)
        if fault:
            faults.append(_("Line %(place)s: %(fault)s", place=place, fault=fault))
        else:
            found[int(words[0])] = _marks(words[1:])
    if faults:
        over = len(faults) - MOST_FAULTS
        more = " " + _("And %(n)s more.", n=over) if over > 0 else ""
        raise Refused(" ".join(faults[:MOST_FAULTS]) + more)
    return found


def differences(first: Marks, second: Marks) -> list[tuple[str, str, str]]:
    """Where two typings of one paper differ: what (``candidate`` or the item's number), the first, the second."""
    both = zip(first.items, second.items, strict=True)
    items = [(str(place), a, b) for place, (a, b) in enumerate(both, 1) if a != b]
    if first.works_number == second.works_number:
        return items
    return [("candidate", first.works_number, second.works_number), *items]


def _marks(words: Sequence[str]) -> Marks:
    if words == [EMPTY]:
        return Marks("", "")
    return Marks(words[0].upper(), "".join(_sign(one) for one in _SIGN.findall(words[1])))


def _sign(typed: str) -> str:
    """A sign as it is kept; the letters of a value stay as they are, since mT and MT are two units."""
    value = value_of(typed)
    return typed.upper() if value is None else f"[{' '.join(value.split())}]"


def _fault(words: Sequence[str], papers: Mapping[int, Sequence[bool]], before: Mapping[int, Marks]) -> str:
    number = int(words[0]) if words[0].isascii() and words[0].isdigit() and len(words[0]) < 5 else 0
    if number not in papers:
        return _("begins with the number of a paper that was printed and is not taken yet.")
    if number in before:
        return _("paper %(number)s stands above already.", number=number)
    if words[1:] == [EMPTY]:
        return ""
    if len(words) < 3:
        return _("the works number and the signs are wanted behind the number.")
    signs, questions = [_sign(one) for one in _SIGN.findall(words[2])], papers[number]
    if len(signs) != len(questions):
        return _(
            "paper %(number)s has %(items)s items, here are %(signs)s signs.",
            number=number,
            items=len(questions),
            signs=len(signs),
        )
    for place, (sign, question) in enumerate(zip(signs, questions, strict=True), 1):
        if question and sign not in LETTERS + EMPTY:
            return _("item %(place)s takes A to D, or - for nothing.", place=place)
        if not question and not _judges(sign):
            return _(
                "item %(place)s takes its value as in [1800 A], of at most %(most)s characters, or R or W as you "
                "judged it, or - for nothing.",
                place=place,
                most=MOST_VALUE,
            )
    if sum(map(len, signs)) > MOST_SIGNS:
        return _("its values are too long together; judge some of them with R or W.")
    return ""


def _judges(sign: str) -> bool:
    value = value_of(sign)
    return sign in JUDGED + EMPTY if value is None else bool(value) and len(value) <= MOST_VALUE
