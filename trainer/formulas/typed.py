"""Read the answer a person typed: a number and a unit, by our own small grammar.

Nothing is evaluated. The text is bounded, its characters are looked up, and everything that is not a
number with a unit gets a sentence that says what to write instead.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from trainer.errors import Refused
from trainer.formulas.units import Unit, spelled, spelled_exactly
from trainer.languages import N_, _

LONGEST = 40
_SAME = str.maketrans({
    "\u2212": "-", "\u2013": "-", "\u00a0": " ", "\u202f": " ", "\u2009": " ", "\u2007": " ", "\t": " ",
    "\u2019": "'", "\u2032": "'", "\u2033": '"', "\u201d": '"', "\u201c": '"', "\u03bc": "u", "\u00b5": "u",
    "\u2126": "Ω", "\u22c5": "·", "\u00d7": "x", "\u2044": "/", "\u00b2": "2", "\u00b3": "3", "\u00ba": "°",
    "\u00bd": " 1/2", "\u00bc": " 1/4", "\u00be": " 3/4", "\u215b": " 1/8", "\u215c": " 3/8", "\u215d": " 5/8",
    "\u215e": " 7/8", "\u00d8": "ø", "\u2300": "ø", "\u2205": "ø", "\u2248": "~",
    **dict(zip("áéíóúèêñÁÉÍÓÚÈÊÑ", "aeioueenAEIOUEEN", strict=True)),
})  # fmt: skip
_ALLOWED = re.compile(r"[A-Za-z0-9 +\-*/.,'\"()%°·Ω^]*\Z")
_AROUND = re.compile(r"(?:[A-Za-z/]{1,9} ?=|[=~ø])? ?(?P<answer>.*?) ?[.,;:!?]?\Z")  # I = 1800 A. and ø 50 mm
_FEET = re.compile(
    r"(?P<feet>[0-9]{1,6}) ?(?:'|ft\.?|feet|foot|pies?) ?-? ?(?P<inches>[0-9][0-9/., -]*)"
    r"(?:\"|''|in|inch|inches|pulg|pulgadas?)\Z"
)
_SHAPE = re.compile(
    r"(?P<sign>[-+]?) ?(?:(?P<whole>[0-9]{1,6})[ -])?(?P<top>[0-9]{1,6}) ?/ ?(?P<bottom>[0-9]{1,6})(?P<rest>.*)\Z"
)
_NUMBER = re.compile(
    r"(?P<sign>[-+]?) ?(?P<digits>[0-9]+(?:[ '.,][0-9]+)*\.?|[.,][0-9]+)"
    r"(?:[eE](?P<power>[-+]?[0-9]{1,4})(?![0-9])| ?[x*·] ?10\^?(?P<tens>[-+]?[0-9]{1,4})(?![0-9]))?(?P<rest>.*)\Z"
)
_PLAIN = re.compile(r"(-?[0-9]{1,9}(?:\.[0-9]{1,9})?) ?([A-Za-z%/]{1,6})\Z")  # what most people type: 1875 A
_GROUPS = {c: re.compile(rf"[1-9][0-9]{{0,2}}(?:{re.escape(c)}[0-9]{{3}})+\Z") for c in ",. '"}
_TWO_WAYS = {
    "point": N_(
        "'%(text)s' can be read in two ways. Write 1800 or 1.8, with a point for decimals and no mark for thousands."
    ),
    "comma": N_(
        "'%(text)s' can be read in two ways. Write 1800 or 1,8, with a comma for decimals and no mark for thousands."
    ),
}


_OTHER_HABIT = N_(
    "'%(text)s': a comma stands before decimals only where you have chosen it on your account page. Write %(plain)s."
)


class AnswerProblem(Refused):
    """The answer cannot be read; the sentence says how to write it. ``kind`` names the trouble."""

    def __init__(self, kind: str, says: str) -> None:
        super().__init__(says)
        self.kind = kind


@dataclass(frozen=True, slots=True)
class Typed:
    """A number as typed and the unit behind it, or None where none was written."""

    value: float
    unit: Unit | None


def read_answer(text: str, decimal: str = "point") -> Typed:
    """Read a typed answer; ``decimal`` is the person's habit, "point" or "comma".

    Raises AnswerProblem with kind empty, long, character, number, comma, unit, size.
    """
    plain = _PLAIN.match(text) if decimal == "point" else None
    if plain is not None and (typed := _plainly(plain)) is not None:
        return typed
    clean = _clean(text)
    value, rest = _feet(clean, decimal) or _fraction(clean) or _decimal(clean, decimal)
    return Typed(value, _unit(rest))


def _plainly(plain: re.Match[str]) -> Typed | None:
    """Read the everyday form at once; None where the unit is not spelled exactly, for the full reading."""
    found = spelled_exactly(plain[2])
    return Typed(float(plain[1]), found) if found is not None else None


def _clean(text: str) -> str:
    if len(text) > LONGEST:
        raise AnswerProblem(
            "long", _("That is longer than %(most)s characters. Write one number and its unit.", most=LONGEST)
        )
    around = _AROUND.match(" ".join(text.translate(_SAME).split()))
    clean = around["answer"] if around else ""
    if not clean:
        raise AnswerProblem(
            "empty", _("There is no answer yet. Write a number and its unit, such as 1234 A.")
        )
    if not _ALLOWED.match(clean):
        odd = next(c for c in clean if not _ALLOWED.match(c))
        shown = (
            odd
            if odd.isprintable() and odd.isascii()
            else _("a sign with the number U+%(number)s", number=format(ord(odd), "04X"))
        )
        raise AnswerProblem(
            "character",
            _("An answer cannot hold %(sign)s. Write plain digits and a unit, such as 1234 A.", sign=shown),
        )
    return clean


def _feet(clean: str, decimal: str) -> tuple[float, str] | None:
    """Read 2' 6" and 2 ft 6 1/2 in as inches; 1'800" are thousands."""
    found = _FEET.match(clean)
    if not found:
        return None
    inches, rest = _fraction(found["inches"]) or _decimal(found["inches"].rstrip(), decimal)
    return None if rest or inches >= 12 else (12 * int(found["feet"]) + inches, "in")


def _fraction(clean: str) -> tuple[float, str] | None:
    """Read 3 1/2, 3-1/2 or 1/2, the way lengths are marked on a rule."""
    found = _SHAPE.match(clean)
    if not found:
        return None
    top, bottom = int(found["top"]), int(found["bottom"])
    if bottom == 0 or found["rest"].lstrip()[:1].isdigit():
        raise AnswerProblem("number", _("That fraction cannot be read. Write it as 3 1/2 in, or as 3.5 in."))
    value = int(found["whole"] or 0) + top / bottom
    return (-value if found["sign"] == "-" else value), found["rest"].strip()


def _decimal(clean: str, decimal: str) -> tuple[float, str]:
    found = _NUMBER.match(clean)
    if not found:
        raise AnswerProblem(
            "number", _("The answer must begin with a number. Write it as 1234 A or 1.23 kA.")
        )
    digits = _digits(found["digits"].rstrip("."), decimal)
    rest = found["rest"].strip()
    if re.match(r"[0-9+*^(]|- ?[0-9]", rest):
        raise AnswerProblem(
            "number",
            _("One number is wanted, not a calculation. Work it out and write the result with its unit."),
        )
    if rest[:1] == "/" and not spelled(rest):
        raise AnswerProblem(
            "number", _("That cannot be read. Write one number and its unit, such as 3.5 in.")
        )
    power = int(found["power"] or found["tens"] or 0)
    value = float(f"{found['sign']}{digits}e{power}")
    if abs(power) > 99 or abs(value) > 1e15 or (value != 0 and abs(value) < 1e-15):
        raise AnswerProblem("size", _("That number is beyond anything in a shop. Check the exponent."))
    return value, rest


def _digits(text: str, decimal: str) -> str:
    """Turn the digits as typed into plain ones; a comma that could mean two things is refused."""
    point, other = (".", ",") if decimal == "point" else (",", ".")
    if _against_habit(text, point, other):
        point, other = other, point
    for group in (other, " ", "'"):
        whole, dot, rest = text.partition(point)
        if group in whole and _GROUPS[group].match(whole) and (not dot or rest.isdigit()):
            text = whole.replace(group, "") + dot + rest
    if re.fullmatch(rf"[0-9]*{re.escape(point)}?[0-9]*", text):
        return text.replace(point, ".")
    if decimal == "comma" and re.fullmatch(r"[0-9]*\.[0-9]+", text):
        return text
    if re.fullmatch(r"[0-9]*,(?:[0-9]{1,2}|[0-9]{4,})", text):
        raise AnswerProblem("comma", _(_OTHER_HABIT, text=text, plain=text.replace(",", ".")))
    if other in text:
        raise AnswerProblem("comma", _(_TWO_WAYS[decimal], text=text))
    raise AnswerProblem("number", _("Those digits do not make one number. Write it as 1234 A or 12.5 mm."))


def _against_habit(text: str, point: str, other: str) -> bool:
    """Say whether the marks have one reading only, which is not the person's habit: 1.800,5 or 1.800.000."""
    before, mark, _after = text.rpartition(other)
    thousands = text.count(point) > 1 and _GROUPS[point].match(text) is not None
    return thousands or (bool(mark) and not {point, " ", "'"}.isdisjoint(before))


def _unit(rest: str) -> Unit | None:
    if not rest:
        return None
    found = spelled(rest) or spelled(rest.replace(" ", ""))
    if found is None and re.search(r" [0-9]", rest):
        raise AnswerProblem(
            "number", _("One number with one unit is wanted: not 4 min 30 s, but 270 s or 4.5 min.")
        )
    if found is None:
        raise AnswerProblem(
            "unit",
            _(
                "'%(unit)s' is not a unit that is known here. Write it as A, kA, in, mm, s, %%, ...",
                unit=rest,
            ),
        )
    return found
