"""QTI items: well formed, elements in the published order, the right key and interval. No schema is checked.

qti/shapes.json holds names and order of elements as seen in published examples (its own ``source`` says which);
qti/numeric-template-item.xml is an item of our own with the same structure of scoring.
"""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tests.banks import shipped_shelf
from trainer.drills.draw import draw
from trainer.drills.shelf import Shelf
from trainer.errors import NotFound
from trainer.questions.ask import ask
from trainer.questions.qti import NAMESPACE, choice_item, numeric_item, topic_items

HERE = Path(__file__).with_name("qti")
SHAPES = json.loads((HERE / "shapes.json").read_text(encoding="utf-8"))
ORDER = [name.rstrip("*?") for name in SHAPES["item_child_order"] if name.startswith("qti-")]


@pytest.fixture(scope="module")
def shipped() -> Shelf:
    """The bank that comes with the program."""
    return shipped_shelf()


def local(element: ET.Element) -> str:
    """The name of an element without its namespace, which must be that of the standard."""
    space, _, name = element.tag[1:].partition("}")
    assert space == NAMESPACE, element.tag
    return name


def found(root: ET.Element, name: str) -> ET.Element:
    """The one element of a name."""
    held = root.findall(f".//{{{NAMESPACE}}}{name}")
    assert len(held) == 1, name
    return held[0]


def accepted(root: ET.Element, value: float) -> bool:
    """Whether an item gives its mark for a number: qti-equal as shapes.json tells it."""
    equal = found(root, "qti-equal")
    right = float(found(found(root, "qti-correct-response"), "qti-value").text or "")
    below, above = map(float, equal.attrib["tolerance"].split())
    assert equal.attrib["tolerance-mode"] == "absolute"
    return right - below <= value <= right + above


def items(shelf: Shelf) -> Iterator[tuple[str, bytes]]:
    """Every item of every topic of the shipped bank, one draw each."""
    rooms = [
        *(f"questions/{topic}" for topic in sorted({one.topic for one in shelf.bank.questions.values()})),
        *(f"drills/{topic}" for topic in sorted(shelf.bank.topics(scored=True))),
    ]
    for wanted in rooms:
        yield from topic_items(shelf, wanted, seeds=1)


def test_every_item_of_the_bank_is_well_formed_and_in_order(shipped: Shelf) -> None:
    """The children of each item stand in the published order; names differ; identifiers are the files' own."""
    names = []
    for name, data in items(shipped):
        root = ET.fromstring(data)
        order = [ORDER.index(local(child)) for child in root]
        assert (local(root), order) == ("qti-assessment-item", sorted(order)), name
        assert root.attrib["identifier"] == name.removesuffix(".xml")
        names.append(name)
    assert len(names) == len(set(names)) > 400


def test_our_own_example_stands_in_the_same_order() -> None:
    """The example that scoring was taken from passes the same test of order."""
    root = ET.parse(HERE / "numeric-template-item.xml").getroot()
    order = [ORDER.index(local(child)) for child in root]
    assert order == sorted(order)


def test_a_choice_item_carries_key_and_reasons(shipped: Shelf) -> None:
    """The options stand as they are asked with this seed, the key is the right one, each reason belongs to its letter."""
    asked = ask(shipped, shipped.bank.question("coil-bar-laid-across"), 3)
    root = ET.fromstring(choice_item(asked))
    assert found(found(root, "qti-correct-response"), "qti-value").text == asked.key
    choices = root.findall(f".//{{{NAMESPACE}}}qti-simple-choice")
    assert [(one.attrib["identifier"], one.text) for one in choices] == [
        (one.letter, one.text) for one in asked.choices
    ]
    told = root.findall(f"{{{NAMESPACE}}}qti-modal-feedback")
    assert {one.attrib["identifier"]: "".join(one.itertext()).strip() for one in told} == {
        one.letter: one.because for one in asked.choices
    }
    assert found(root, "em").text == "across"


@pytest.mark.parametrize("find", ["I", "N", "L"])
def test_a_numeric_item_accepts_what_the_drill_accepts(shelf: Shelf, find: str) -> None:
    """Inside the accepted interval there is a mark, outside there is none, a slip's value is outside."""
    entry = shelf.bank.drill("coil-low-fill-wall")
    mould = shelf.mould_of(entry, find)
    for seed in range(5):
        exercise = draw(mould, seed)
        root = ET.fromstring(numeric_item(entry, mould, exercise))
        low, high = exercise.accepted
        room = 1e-6 * high
        assert accepted(root, exercise.answer)
        assert accepted(root, min(low + room, exercise.answer))
        assert not accepted(root, high + room)
        assert not accepted(root, low - room)
        assert not any(accepted(root, slip.value) for slip in exercise.slips)


def test_the_same_bytes_again(shelf: Shelf) -> None:
    """Item and seed give the same bytes."""
    assert topic_items(shelf, "drills/coil") == topic_items(shelf, "drills/coil")


def test_what_rests_on_memory_stays_behind(shipped: Shelf) -> None:
    """An item cannot say there that it must not be scored, so it is not handed out."""
    unconfirmed = {one.id for one in shipped.bank.questions.values() if not one.confirmed}
    assert unconfirmed
    told = {name.rsplit("-", 1)[0] for name, _data in items(shipped)}
    assert not unconfirmed & told


@pytest.mark.parametrize("wanted", ["", "coil", "questions/", "drills/none", "../drills/coil", "papers/coil"])
def test_a_topic_that_is_none(shelf: Shelf, wanted: str) -> None:
    """Nothing is not an empty file."""
    with pytest.raises(NotFound):
        topic_items(shelf, wanted)
