"""The bank in Spanish: nothing of a finished catalogue is missing or changed in its facts, and drills speak it."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from functools import cache

import pytest
from babel.messages.pofile import read_po

from tests.banks import shipped_shelf
from trainer.bank.bank import topic_title, topic_words
from trainer.bank.drill import SIGN, Drill
from trainer.cli.languages import content_texts
from trainer.drills.shelf import Shelf
from trainer.drills.spoken import SpokenShelf
from trainer.drills.telling import as_data, prompt
from trainer.drills.working import working
from trainer.languages import reading_in
from trainer.languages.catalogue import content_catalogue
from trainer.languages.gathering import unlike
from trainer.settings import bank_folder

ROOMS = sorted(path.stem for path in (bank_folder() / "languages" / "es").glob("*.po"))
FAMILIES = ("coil", "prods", "direct-contact", "central-conductor", "duty")
SEEDS = 200

# Words that no Spanish sentence of the trade holds; "in" is an inch and "no" is Spanish too. In capitals they
# are none of these words: IS 9857 is a standard.
ENGLISH = re.compile(
    r"\b([Tt]he|[Aa]nd|[Oo]f|[Ww]ith|[Ii]s|[Aa]re|[Bb]y|[Ff]rom|[Ff]or|[Oo]r|[Nn]ot|[Tt]han"
    r"|[Cc]urrent|[Tt]urns?|[Cc]oil|[Pp]art|[Ff]ield|[Ss]hot|[Ll]ead|[Pp]ack)\b"
)
NUMBER = re.compile(r"\d+")


@cache
def spanish() -> dict[str, str]:
    """Every sentence of the bank's catalogues with its translation; what is empty or unsure is left out."""
    said: dict[str, str] = {}
    for path in sorted((bank_folder() / "languages" / "es").glob("*.po")):
        with path.open("rb") as file:
            said |= {str(m.id): str(m.string) for m in read_po(file, locale="es") if m.string and not m.fuzzy}
    return said


@pytest.fixture(scope="module")
def bank() -> Shelf:
    """The bank that is shipped."""
    return shipped_shelf()


@cache
def of_room(room: str) -> list[str]:
    """The texts that a room of the content shows, also those that stand in another room's catalogue."""
    return [text for name, text, _place in content_texts() if name == room]


@pytest.mark.parametrize("room", ROOMS)
def test_values_and_numbers_are_the_same(room: str) -> None:
    """No value to be filled in and no figure of a sentence is lost, added or changed on the way."""
    for text in of_room(room):
        said = spanish().get(text, "")
        assert said, f"not said in Spanish yet: run `trainer languages` and fill in its msgstr: {text}"
        assert unlike(text, said) == "", text
        assert Counter(NUMBER.findall(said)) == Counter(NUMBER.findall(text)), text


@pytest.mark.parametrize("room", ROOMS)
def test_no_english_word_is_left(room: str) -> None:
    """What is said in Spanish is Spanish all through."""
    assert [said for text in of_room(room) if ENGLISH.search(said := spanish().get(text, ""))] == []


def questions(shelf: Shelf) -> Iterator[tuple[int, str, str]]:
    """(seed, drill, find) for all seeds: drill after drill of the families, each time its next find."""
    drills = [entry.drill for entry in shelf.bank.drills.values() if entry.drill.topic in FAMILIES]
    assert {drill.topic for drill in drills} == set(FAMILIES)
    for seed in range(SEEDS):
        drill = drills[seed % len(drills)]
        finds = list(drill.finds)
        yield seed, drill.id, finds[seed // len(drills) % len(finds)]


def with_signs(text: str, plain: Drill, spoken: Drill) -> str:
    """A line of working with the signs of the spoken drill, where a quantity is shown by a word."""
    for symbol, quantity in spoken.quantities.items():
        word = plain.quantities[symbol].shown or symbol
        if SIGN.said.fullmatch(word) and quantity.shown:
            text = re.sub(rf"\b{word}\b", quantity.shown, text)
    return text


def test_a_drawn_exercise_speaks_spanish(bank: Shelf) -> None:
    """Prompt, slips and working come in Spanish; edition, numbers, slips' values and what is accepted stay."""
    say = spanish().__getitem__
    other = SpokenShelf(bank, content_catalogue("es").gettext)
    for seed, drill_id, find in questions(bank):
        plain, spoken = bank.mould(drill_id, find), other.mould(drill_id, find)
        exercise = bank.draw(drill_id, seed, find)
        assert other.draw(drill_id, seed, find) == exercise

        drill = plain.read.drill
        situation = drill.situations[exercise.situation]
        assert prompt(spoken, exercise) == (
            f"{say(situation.part)}. {say(situation.text)} {say(drill.finds[find].ask or '')}"
        )
        before, after = as_data(plain, exercise), as_data(spoken, exercise)
        for kept in ("edition", "given", "answer", "accepted", "source"):
            assert after[kept] == before[kept], (drill_id, seed)
        assert after["working"] == [with_signs(line, drill, spoken.read.drill) for line in before["working"]]
        assert after["slips"] == [one | {"says": say(one["says"])} for one in before["slips"]]
        for slip in drill.slips:
            assert other.slip_name(drill_id, slip.id) == say(slip.name)

        lines = zip(working(plain, exercise), working(spoken, exercise), strict=True)
        for english, line in lines:
            name, step = drill.quantities[english.symbol].name, drill.steps.get(english.symbol)
            assert line.name.casefold() == say(name).casefold()
            about = bool(step) and english.note.startswith(
                step
            )  # a step that is turned round says nothing of itself
            assert line.note.startswith(say(step) if step and about else "")
            assert line.right_text == with_signs(english.right_text, drill, spoken.read.drill)


def test_every_topic_is_named_in_spanish(bank: Shelf) -> None:
    """Topics are content: they are looked up where the bank's words are, not where the program's are."""
    topics = {*bank.bank.topics(), *(entry.topic for entry in bank.bank.questions.values())}
    with reading_in("es"):
        assert {one: topic_title(one) for one in topics} == {
            one: spanish()[topic_words(one)] for one in topics
        }
        assert topic_title("field") == "Campo"
