"""Ask a question: a seed shuffles its options, and draws its numbers where they come from a drill.

Question and seed give the same sheet for ever, on any machine. The shuffle takes the house's own numbers
(drills/numbers.py) from the stream ``question/order/seed``: from the last place down, place ``i`` is exchanged
with place ``below(i + 1)``, so that each of the 24 orders comes equally often.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any, TypeVar

from trainer.bank import QuestionEntry
from trainer.bank.question import NumberQuestion, Question
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould
from trainer.drills.numbers import Numbers
from trainer.drills.shelf import Shelf
from trainer.questions.numbers import draw_numbers, number_choices

LETTERS = "ABCD"
One = TypeVar("One")


@dataclass(frozen=True, slots=True)
class Choice:
    """An option as it is shown: its letter, its text, whether it is right and why or why not."""

    letter: str
    text: str
    right: bool
    because: str


@dataclass(frozen=True, slots=True)
class Asked:
    """One question as one person meets it. ``drawn`` where its numbers come from a drill."""

    entry: QuestionEntry
    seed: int
    choices: tuple[Choice, ...]
    drawn: tuple[Mould, Exercise] | None = None

    @property
    def key(self) -> str:
        """The letter of the right option."""
        return next(choice.letter for choice in self.choices if choice.right)

    def choice(self, letter: str) -> Choice | None:
        """Return the option of a letter; None for what is none."""
        return next((choice for choice in self.choices if choice.letter == letter), None)

    def snapshot(self) -> dict[str, Any]:
        """Return what must be kept so that it can be asked again whatever happens to the bank."""
        kept: dict[str, Any] = {
            "question": self.entry.id, "edition": self.entry.edition, "seed": self.seed
        }  # fmt: skip
        return kept | ({"drawn": self.drawn[1].snapshot()} if self.drawn else {})


def ask(shelf: Shelf, entry: QuestionEntry, seed: int) -> Asked:
    """Ask a question with this seed; Refused where its drill leaves no fair numbers."""
    question = entry.question
    if isinstance(question, NumberQuestion):
        return _numbers(entry, seed, draw_numbers(shelf, question, seed))
    return _written(entry, question, seed)


def ask_again(
    shelf: Shelf, entry: QuestionEntry, snapshot: Mapping[str, Any], drill_content: object = None
) -> Asked:
    """Ask a stored question as it was; ``drill_content`` is the kept edition of the drill behind its numbers."""
    seed = snapshot["seed"]
    if "drawn" in snapshot:
        return _numbers(entry, seed, shelf.stored(drill_content, snapshot["drawn"]))
    assert isinstance(entry.question, Question), "only a question with numbers is kept with them"
    return _written(entry, entry.question, seed)


def shuffled(things: Sequence[One], stream: Numbers) -> list[One]:
    """Return the things in an order that the stream chooses."""
    out = list(things)
    for last in range(len(out) - 1, 0, -1):
        other = stream.below(last + 1)
        out[last], out[other] = out[other], out[last]
    return out


def _written(entry: QuestionEntry, question: Question, seed: int) -> Asked:
    options = [(option.text, option.right, option.because) for option in question.options]
    return Asked(entry, seed, _lettered(entry, seed, options))


def _numbers(entry: QuestionEntry, seed: int, drawn: tuple[Mould, Exercise]) -> Asked:
    return Asked(entry, seed, _lettered(entry, seed, number_choices(*drawn)), drawn)


def _lettered(
    entry: QuestionEntry, seed: int, options: Sequence[tuple[str, bool, str]]
) -> tuple[Choice, ...]:
    order = shuffled(options, Numbers(f"{entry.id}/order/{seed}"))
    return tuple(Choice(letter, *option) for letter, option in zip(LETTERS, order, strict=True))
