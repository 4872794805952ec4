"""Items as QTI 3.0: one choice or one number an item, with the draw of a seed, the same bytes for ever.

Names, order of elements and the form of a numeric item are those of published examples (1EdTech, qti-examples
repository, commit 141c0359d0e7: seen). From memory, unconfirmed: how ``qti-equal`` takes an absolute tolerance, the
names of the choice interaction and its options, and a feedback of one's own for each option. The schema itself
was never at hand, so an item is well formed and nothing more is claimed. What QTI cannot carry stays behind:
drawings (their description goes along), named slips of a number, units that are typed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from decimal import Decimal
from xml.etree import ElementTree as ET

from trainer.bank import Entry
from trainer.drills.draw import draw
from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould
from trainer.drills.shelf import Shelf
from trainer.drills.sketch import sketch as drill_sketch
from trainer.errors import NotFound
from trainer.formulas.units import unit
from trainer.formulas.writing import with_unit
from trainer.languages import _, reading_in
from trainer.questions import telling
from trainer.questions.ask import Asked, ask
from trainer.questions.sketch import sketch

NAMESPACE = "http://www.imsglobal.org/xsd/imsqtiasi_v3p0"
SEEDS = 3  # draws of each find and of each question with numbers
_STRESSED = re.compile(r"\*([^*]+)\*")
_HEAD = '<?xml version="1.0" encoding="UTF-8"?>\n'


@reading_in("en")  # a file for other programs has a point for everybody
def topic_items(shelf: Shelf, wanted: str, seeds: int = SEEDS) -> list[tuple[str, bytes]]:
    """Every item of a topic, such as questions/coil or drills/coil, as file names and their bytes.

    What rests on memory is left out, since QTI has no place to say so. Raises NotFound for an empty topic.
    """
    room, _slash, topic = wanted.partition("/")
    rooms = {"questions": _questions, "drills": _drills}
    files = list(rooms[room](shelf, topic, seeds)) if room in rooms else []
    if not files:
        raise NotFound(
            _("There is no such topic in the bank, or nothing in it may be scored. Choose another.")
        )
    return files


def _questions(shelf: Shelf, topic: str, seeds: int) -> Iterator[tuple[str, bytes]]:
    for entry in shelf.bank.questions.values():
        if entry.topic == topic and entry.confirmed:
            for seed in range(seeds) if "numbers" in entry.content else (0,):
                yield f"{entry.id}-{seed}.xml", choice_item(ask(shelf, entry, seed))


def _drills(shelf: Shelf, topic: str, seeds: int) -> Iterator[tuple[str, bytes]]:
    for entry in shelf.bank.drills.values():
        if entry.drill.topic == topic and not entry.drill.unconfirmed:
            for find in entry.drill.finds:
                mould = shelf.mould_of(entry, find)
                for seed in range(seeds):
                    yield f"{entry.id}-{find}-{seed}.xml", numeric_item(entry, mould, draw(mould, seed))


def choice_item(asked: Asked) -> bytes:
    """One question with its four options in the order of its seed, and the reason of each as feedback."""
    entry = asked.entry
    item = _item(f"{entry.id}-{asked.seed}", entry.id)
    _response(item, "identifier", asked.key)
    _outcome(item, "SCORE", "float", "0")
    _outcome(item, "FEEDBACK", "identifier")
    body = ET.SubElement(item, "qti-item-body")
    _described(body, _question_figure(asked))
    _facts(body, telling.given(asked))
    interaction = ET.SubElement(
        body, "qti-choice-interaction",
        {"response-identifier": "RESPONSE", "shuffle": "false", "max-choices": "1"},
    )  # fmt: skip
    _stressed(ET.SubElement(interaction, "qti-prompt"), telling.stem(asked))
    for choice in asked.choices:
        _stressed(ET.SubElement(interaction, "qti-simple-choice", {"identifier": choice.letter}), choice.text)
    rules = ET.SubElement(item, "qti-response-processing")
    match = _scored(rules, "qti-match", {})
    _correct(match)
    kept = ET.SubElement(rules, "qti-set-outcome-value", {"identifier": "FEEDBACK"})
    ET.SubElement(kept, "qti-variable", {"identifier": "RESPONSE"})
    for choice in asked.choices:
        _feedback(item, choice.letter, choice.because)
    return _written(item)


def numeric_item(entry: Entry, mould: Mould, exercise: Exercise) -> bytes:
    """One exercise of a drill: its situation, what is given, and the accepted interval around the answer."""
    drill = entry.drill
    quantity = drill.quantities[exercise.find]
    item = _item(f"{entry.id}-{exercise.find}-{exercise.seed}", drill.title)
    answer = _decimal(exercise.answer)
    _response(item, "float", f"{answer:f}")
    _outcome(item, "SCORE", "float", "0")
    body = ET.SubElement(item, "qti-item-body")
    ET.SubElement(body, "p").text = drill.situations[exercise.situation].text
    _described(body, drill_sketch(drill, exercise, "qti").desc)
    _facts(body, [
        (drill.quantities[symbol].name, with_unit(text, drill.quantities[symbol].unit))
        for symbol, text in exercise.texts.items()
    ])  # fmt: skip
    ET.SubElement(body, "p").text = drill.finds[mould.find].ask
    line = ET.SubElement(body, "p")
    field = {"response-identifier": "RESPONSE", "expected-length": "10"}
    ET.SubElement(line, "qti-text-entry-interaction", field).tail = f" {unit(quantity.unit).shown}".rstrip()
    low, high = (abs(_decimal(limit) - answer) for limit in exercise.accepted)
    rules = ET.SubElement(item, "qti-response-processing")
    tolerance = {"tolerance-mode": "absolute", "tolerance": f"{low:f} {high:f}"}
    _correct(_scored(rules, "qti-equal", tolerance))
    return _written(item)


def _item(identifier: str, title: str) -> ET.Element:
    return ET.Element(
        "qti-assessment-item",
        {"xmlns": NAMESPACE, "identifier": identifier, "title": title, "adaptive": "false",
         "time-dependent": "false", "xml:lang": "en"},
    )  # fmt: skip


def _response(item: ET.Element, base: str, correct: str) -> None:
    declared = ET.SubElement(
        item,
        "qti-response-declaration",
        {"identifier": "RESPONSE", "cardinality": "single", "base-type": base},
    )
    ET.SubElement(ET.SubElement(declared, "qti-correct-response"), "qti-value").text = correct


def _outcome(item: ET.Element, name: str, base: str, default: str = "") -> None:
    declared = ET.SubElement(
        item, "qti-outcome-declaration", {"identifier": name, "cardinality": "single", "base-type": base}
    )
    if default:
        ET.SubElement(ET.SubElement(declared, "qti-default-value"), "qti-value").text = default


def _scored(rules: ET.Element, test: str, how: dict[str, str]) -> ET.Element:
    """Add one mark where the test holds, none where it does not; return the test to be filled."""
    condition = ET.SubElement(rules, "qti-response-condition")
    right = ET.SubElement(condition, "qti-response-if")
    found = ET.SubElement(right, test, how)
    _score(right, "1")
    _score(ET.SubElement(condition, "qti-response-else"), "0")
    return found


def _score(where: ET.Element, value: str) -> None:
    kept = ET.SubElement(where, "qti-set-outcome-value", {"identifier": "SCORE"})
    ET.SubElement(kept, "qti-base-value", {"base-type": "float"}).text = value


def _correct(test: ET.Element) -> None:
    ET.SubElement(test, "qti-variable", {"identifier": "RESPONSE"})
    ET.SubElement(test, "qti-correct", {"identifier": "RESPONSE"})


def _feedback(item: ET.Element, letter: str, because: str) -> None:
    told = ET.SubElement(
        item, "qti-modal-feedback",
        {"outcome-identifier": "FEEDBACK", "identifier": letter, "show-hide": "show"},
    )  # fmt: skip
    _stressed(ET.SubElement(ET.SubElement(told, "qti-content-body"), "p"), because)


def _question_figure(asked: Asked) -> str:
    figure = sketch(asked, "qti")
    return figure.desc if figure is not None else ""


def _described(body: ET.Element, desc: str) -> None:
    if desc:
        ET.SubElement(body, "p").text = f"Drawing: {desc}"


def _facts(body: ET.Element, rows: list[tuple[str, str]]) -> None:
    if rows:
        ET.SubElement(body, "p").text = (
            "Given: " + "; ".join(f"{name} {amount}" for name, amount in rows) + "."
        )


def _stressed(where: ET.Element, text: str) -> None:
    """Write a text of the bank, with what stands between asterisks stressed."""
    first, *rest = _STRESSED.split(text)
    where.text = first
    for word, after in zip(rest[::2], rest[1::2], strict=True):
        stressed = ET.SubElement(where, "em")
        stressed.text, stressed.tail = word, after


def _decimal(value: float) -> Decimal:
    return Decimal(repr(value))


def _written(item: ET.Element) -> bytes:
    ET.indent(item)
    return (_HEAD + ET.tostring(item, encoding="unicode") + "\n").encode()
