"""Read a question's words as a careful reader does: doubled words, units set badly, bare negatives, lazy options.

Every rule is a pattern with the sentence that says what to write instead; all of them are our own house style,
no document asks for them.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from trainer.bank.question import Question
from trainer.languages import N_, _

Found = tuple[tuple[str | int, ...], str]

_UNIT = r"(?:mm|cm|km|kA/m|A/m|kA|mA|A|mT|µT|T|Oe|G|V|kV|W|kW|Hz|kHz|Ω|mΩ|kg|lb|lbf|N|kN|mL|L|lx|fc|nm|°C|°F|µW/cm²|mW/cm²|W/m²|in|ft|min|ms|s|h)"
_RULES: tuple[tuple[re.Pattern[str], str], ...] = (
    (re.compile(r"(?<!\w)([a-z]+) \1(?!\w)"), N_("the word '{0}' stands twice; keep one")),
    (re.compile(r"  "), N_("two spaces follow each other; keep one")),
    (re.compile(rf"(?<![\w-])\d(?:[\d.]*\d)?{_UNIT}(?![\w'-])"), N_("'{0}' wants a space between number and unit")),
    (re.compile(r"\d(?:%|°C|°F)"), N_("'{0}' wants a space between number and unit")),
    (re.compile(r"\d,\d{3}(?!\d)"), N_("'{0}' is read as a decimal in half of the world; write 1200, or 12 000 with a narrow space")),
    (re.compile(r"(?<![\w.-])-\d"), N_("'{0}' has a hyphen for a minus; write −")),
    (re.compile(r"\bu(?:W|T|m)\b"), N_("'{0}' has a u for micro; write µ")),
    (re.compile(r"\b(?:Kg|KG|KA|Amps?|amps|MM|Mm|gauss(?:es)?|ohms?|deg C|degC)\b"), N_("'{0}' is not how this unit is written here; use its sign")),
    (re.compile(r"\d\s?x\s?\d"), N_("'{0}' has the letter x for times; write ×")),
    (re.compile(r" [,.;:?!](?! ?\d)"), N_("a space stands before '{0}'; remove it")),
    (re.compile(r"[a-z],[a-zA-Z]|[a-z];[a-zA-Z]|[a-z]\?[a-zA-Z]"), N_("a space is missing in '{0}'")),
    (re.compile(r"\.{2,}|!!|\?\?|,,"), N_("'{0}' is not a mark of ours; write one")),
    (re.compile(r"\ba (?!one|eu)[aeio]\w+"), N_("'{0}' stands before a vowel; write an")),
    (re.compile(r"\b(?:de)?magnetis(?:e|ing|ation)\w*|\b(?:color|center)\b", re.I), N_("'{0}' is not in the spelling of this bank")),
    (re.compile(r"&|\bi\.e\.|\be\.g\.|\betc\b"), N_("write '{0}' out in words")),
)  # fmt: skip
_LAZY = re.compile(
    r"\b(?:all|none|any|both|neither|two|three) of (?:the )?(?:above|these|them|the others)\b"
    r"|\b(?:A and B|both answers|all answers|none is right)\b",
    re.I,
)
_BARE = re.compile(r"^(?:which|what)\b[^?]*?\b(?:not|never|except|least likely|cannot)\b", re.I)
_EMPHASIS = re.compile(r"\*([^*]+)\*")


def read_words(question: Question) -> Iterator[Found]:
    """Yield what a careful reader would mark, with its place inside the question."""
    for place, text in texts(question):
        yield from ((place, says) for says in marks(text))
    yield from _stem(question.stem)
    for index, option in enumerate(question.options):
        if _LAZY.search(option.text):
            yield (
                ("options", index, "text"),
                _("an option stands for others; write one thing that could be true"),
            )
        if option.text.endswith("."):
            yield ("options", index, "text"), _("an option ends without a full stop; remove it")
        if option.because[-1:] not in {".", "!", "?"}:
            yield ("options", index, "because"), _("a reason is a sentence; end it with a full stop")
    if len({option.text.casefold() for option in question.options}) < len(question.options):
        yield ("options",), _("two options say the same; write four different ones")


def texts(question: Question) -> Iterator[tuple[tuple[str | int, ...], str]]:
    """Yield every text that is shown, with its place."""
    yield ("stem",), question.stem
    for index, option in enumerate(question.options):
        yield ("options", index, "text"), option.text
        yield ("options", index, "because"), option.because


def marks(text: str) -> Iterator[str]:
    """Yield what is set badly in one text."""
    if text.count("*") % 2:
        yield _("an asterisk stands alone; put the stressed word between two")
    for pattern, says in _RULES:
        if found := pattern.search(_EMPHASIS.sub(r"\1", text)):
            yield _(says).format(found.group(found.lastindex or 0).strip())


def plain(text: str) -> str:
    """Return a text without the marks of emphasis."""
    return _EMPHASIS.sub(r"\1", text)


def _stem(stem: str) -> Iterator[Found]:
    if stem[-1:] not in {"?", ".", ":"} and not stem.endswith('."'):
        yield ("stem",), _("the stem ends with a question mark, a full stop or a colon")
    asking = [one for one in re.split(r"(?<=[.?!:]) ", stem) if one.endswith("?")]
    for sentence in asking:
        if _BARE.search(_EMPHASIS.sub("", sentence)):
            yield ("stem",), _("a negative in the question is overlooked; put it between asterisks: *not*")
