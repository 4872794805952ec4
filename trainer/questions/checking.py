"""Check questions beyond their spelling: facts, pools, enemies, pictures, words, and no telltale over the bank.

A telltale is what lets somebody pass who knows nothing: the right option is the longest, or always stands in
the same place. Places are spread by asking (questions/ask); lengths are measured here.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from fractions import Fraction

from trainer.bank import Bank, QuestionEntry
from trainer.bank.question import NumberQuestion, Question
from trainer.drawing.figures import KINDS
from trainer.drills.shelf import Shelf
from trainer.errors import Fault, TrainerError
from trainer.languages import _
from trainer.questions.ask import ask
from trainer.questions.census import lengths
from trainer.questions.sketch import draw_picture, sketch
from trainer.questions.wording import plain, read_words

SEEDS = 12  # draws of each question with numbers; each is drawn and its figure too
MOST_LONGEST = Fraction(3, 10)  # share of right options that may be the longest of four; chance gives 1/4
FEWEST_MEASURED = 40  # below this many questions a share says nothing
_FREE = re.compile(r"common practice|physics|rule of this program", re.I)  # no document that sets limits
_LIMIT = re.compile(
    r"\b(?:at least|at most|minimum|maximum|lowest|highest|longest|limit|permissible|allows?|requires?|required|asks? for)\b",
    re.I,
)
_AMOUNT = re.compile(r"^(?:about |over |under |at least |at most )?[\d½¼¾]")
_OWN_RULE = re.compile(r"\b(?:the shop's|the card|the procedure|the sheet|written practice|the tag)\b", re.I)


def check_questions(shelf: Shelf, entries: Iterable[QuestionEntry]) -> list[Fault]:
    """Return every fault of these questions, each with its place; the rest of the bank is what they refer to."""
    faults: list[Fault] = []
    for entry in entries:
        faults += [entry.fault(says, *place) for place, says in _one(shelf, entry)]
    return faults


def check_balance(bank: Bank) -> list[str]:
    """Return what gives answers away over the whole bank, as sentences."""
    measured = lengths(bank.questions.values())
    if measured.questions < FEWEST_MEASURED:
        return []
    says = []
    if measured.right > measured.wrong:
        says.append(
            f"right options have {float(measured.right):.1f} characters, wrong ones {float(measured.wrong):.1f}; "
            "shorten right ones or lengthen wrong ones"
        )
    if measured.longest > MOST_LONGEST:
        says.append(
            f"the right option is the longest in {float(measured.longest):.0%} of the questions; "
            f"at most {float(MOST_LONGEST):.0%} may be"
        )
    return says


def _one(shelf: Shelf, entry: QuestionEntry) -> Iterator[tuple[tuple[str | int, ...], str]]:
    yield from _enemies(shelf.bank, entry)
    question = entry.question
    if isinstance(question, NumberQuestion):
        yield from _numbers(shelf, entry, question)
        return
    yield from _fact(question)
    yield from read_words(question)
    yield from _picture(question)


def _enemies(bank: Bank, entry: QuestionEntry) -> Iterator[tuple[tuple[str | int, ...], str]]:
    for index, enemy in enumerate(entry.question.enemies):
        other = bank.questions.get(enemy)
        if other is None:
            yield ("enemies", index), _("there is no question '%(id)s' in the bank", id=enemy)
        elif enemy == entry.id:
            yield ("enemies", index), _("a question cannot be its own enemy; remove it")
        elif entry.id not in other.question.enemies and entry.id not in bank.private:
            yield ("enemies", index), _("'%(id)s' does not name this one; write it at both", id=enemy)


def _numbers(
    shelf: Shelf, entry: QuestionEntry, question: NumberQuestion
) -> Iterator[tuple[tuple[str | int, ...], str]]:
    drill = shelf.bank.drills.get(question.drill)
    if drill is None:
        yield ("drill",), _("there is no drill '%(id)s' in the bank", id=question.drill)
        return
    if question.find not in drill.drill.finds:
        finds = ", ".join(drill.drill.finds)
        says = _(
            "%(drill)s does not ask for '%(find)s'; it asks for %(finds)s",
            drill=question.drill, find=question.find, finds=finds,
        )  # fmt: skip
        yield ("find",), says
        return
    if drill.drill.unconfirmed and question.pool == "examination":
        yield ("pool",), _("its drill rests on memory and is never scored; write 'pool: practice'")
    try:
        for seed in range(SEEDS):
            sketch(ask(shelf, entry, seed), "check")
    except TrainerError as error:
        yield ("drill",), str(error)


def _fact(question: Question) -> Iterator[tuple[tuple[str | int, ...], str]]:
    if question.unconfirmed == question.fact.confirmed:
        wanted = "false" if question.fact.confirmed else "true"
        yield (
            ("unconfirmed",),
            _(
                "the fact's status is '%(status)s'; write 'unconfirmed: %(wanted)s'",
                status=question.fact.status,
                wanted=wanted,
            ),
        )
    if question.pool == "examination" and not question.fact.confirmed:
        yield ("pool",), _("what rests on memory is never scored; write 'pool: practice'")
    if _asks_limit(question) and not _names_document(question):
        yield (
            ("stem",),
            _(
                "a limit is asked for; name its document in the stem (%(document)s)",
                document=question.fact.document,
            ),
        )


def _asks_limit(question: Question) -> bool:
    """Whether a limit that some document sets is asked for: amounts to choose from, and a word of limits."""
    if _FREE.search(question.fact.document):
        return False
    amounts = sum(bool(_AMOUNT.match(option.text)) for option in question.options)
    return amounts >= 3 and bool(_LIMIT.search(plain(question.stem)))


def _names_document(question: Question) -> bool:
    """Whether the stem names the fact's document by two of its words, or the shop's own rule."""
    if _OWN_RULE.search(question.stem):
        return True
    words = re.findall(r"[\w.-]*[A-Z0-9][\w.-]*", question.fact.document)
    return sum(word.strip(".") in question.stem for word in words) >= min(2, len(words))


def _picture(question: Question) -> Iterator[tuple[tuple[str | int, ...], str]]:
    picture = question.picture
    if picture is None:
        return
    if picture.kind not in KINDS:
        yield (
            ("picture", "kind"),
            _(
                "there is no figure '%(kind)s'; use one of %(kinds)s",
                kind=picture.kind,
                kinds=", ".join(sorted(KINDS)),
            ),
        )
        return
    try:
        draw_picture(picture, "check")
    except TrainerError as error:
        yield ("picture",), str(error)
