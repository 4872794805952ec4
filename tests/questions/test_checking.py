"""Questions with faults: each is found at its place and told what to write instead."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from tests.questions.writing import bank_with, shelf_with
from trainer.bank import load_bank
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles
from trainer.questions.census import census, lengths, places
from trainer.questions.checking import check_balance, check_questions

SHIPPED = shipped_shelf()

UNREAD = [  # cannot be read at all
    (", right: true", "", "one option must be right, and 0 are"),
    ("because: \"The arc", "right: true, because: \"The arc", "one option must be right, and 2 are"),
    (", because: \"Lifting them earlier draws an arc.\"", "", "the key 'because' is missing"),
    ("level: I\n", "level: III\n", "write one of 'I' or 'II'"),
    ("pool: practice", "pool: any", "write one of 'practice' or 'examination'"),
    ("safety: true", "safty: true", "the key 'safty' is not known here"),
    ("topic: prods", "topic: coil", "the topic must be the file's name, 'prods'"),
    ("id: pick-amperes", "id: lift-the-prods", "another item with the id 'lift-the-prods'"),
    ("id: pick-amperes", "id: prod-current-asme", "another item with the id 'prod-current-asme'"),
]  # fmt: skip
UNSOUND = [  # read, but not fit to be asked
    ("status: ours}", "status: memory}", "write 'unconfirmed: true'"),
    ("pool: practice\n    safety: true", "pool: examination\n    safety: true\n    unconfirmed: true", "write 'unconfirmed: false'"),
    ("spacing: 6 in", "gap: 6 in", "role"),
    ("spacing: 6 in", "spacing: 6 elephants", "unit"),
    ("kind: prods-on-plate", "kind: prods-in-air", "there is no figure 'prods-in-air'"),
    ("status: ours}", "status: ours}\n    enemies: [nobody]", "there is no question 'nobody'"),
    ("status: ours}", "status: ours}\n    enemies: [pick-amperes]", "'pick-amperes' does not name this one"),
    ("status: ours}", "status: ours}\n    enemies: [lift-the-prods]", "cannot be its own enemy"),
    ("drill: coil-low-fill-wall", "drill: nothing-here", "there is no drill 'nothing-here'"),
    ("find: I", "find: Q", "does not ask for 'Q'"),
    ("As soon as the meter has risen", "All of the above", "stands for others"),
    ("As soon as the meter has risen", "after the current is off", "two options say the same"),
    ("When are the prods", "Which of them is not", "put it between asterisks"),
    ("lifted off the plate?", "lifted off the the plate?", "the word 'the' stands twice"),
    ("lifted off the plate?", "lifted off the plate", "ends with a question mark"),
    ("draws an arc.", "draws an arc", "end it with a full stop"),
    ("to save time", "at 800A", "a space between number and unit"),
    ("to save time", "at 1,200 A", "read as a decimal"),
    ("to save time", "at -5 °C", "hyphen for a minus"),
]  # fmt: skip


@pytest.mark.parametrize(("old", "new", "says"), UNREAD)
def test_what_cannot_be_read_is_told(tmp_path: Path, old: str, new: str, says: str) -> None:
    """The fault names the file, a line in it, and what to write."""
    with pytest.raises(FaultyFiles) as caught:
        load_bank(bank_with(tmp_path, old, new))
    assert any(says in fault.says for fault in caught.value.faults), caught.value
    assert {fault.file for fault in caught.value.faults} == {"questions/prods.yaml"}


@pytest.mark.parametrize(("old", "new", "says"), UNSOUND)
def test_what_is_not_fit_is_told(tmp_path: Path, old: str, new: str, says: str) -> None:
    """A question that can be read but should not be asked is told at its line."""
    shelf = shelf_with(tmp_path, old, new)
    faults = check_questions(shelf, shelf.bank.questions.values())
    assert any(says in fault.says and fault.line > 2 for fault in faults), [str(f) for f in faults]


def test_memory_is_never_scored(tmp_path: Path) -> None:
    """A question from memory may not stand in the examination pool."""
    shelf = shelf_with(
        tmp_path,
        "pool: practice\n    safety: true",
        "pool: examination\n    safety: true\n    unconfirmed: true",
    )
    text = (tmp_path / "bank" / "questions" / "prods.yaml").read_text(encoding="utf-8")
    (tmp_path / "bank" / "questions" / "prods.yaml").write_text(
        text.replace("status: ours", "status: memory")
    )
    shelf = Shelf.of_folder(tmp_path / "bank")
    says = [fault.says for fault in check_questions(shelf, shelf.bank.questions.values())]
    assert says == ["what rests on memory is never scored; write 'pool: practice'"]


def test_a_limit_names_its_document(tmp_path: Path) -> None:
    """Where amounts are offered and a document's limit is asked for, the stem must say whose limit it is."""
    shelf = shelf_with(tmp_path)
    path = tmp_path / "bank" / "questions" / "prods.yaml"
    text = path.read_text(encoding="utf-8")
    for old, new in {
        "When are the prods lifted off the plate?": "What is the highest current that is allowed?",
        "After the current is off": "800 A", "While it flows, to save time": "900 A",
        "When the powder has settled down": "700 A", '"Physics"': '"T.O. 33B-1-1"', "status: ours": "status: seen",
    }.items():  # fmt: skip
        text = text.replace(old, new)
    path.write_text(text, encoding="utf-8")
    shelf = Shelf.of_folder(tmp_path / "bank")
    says = [fault.says for fault in check_questions(shelf, shelf.bank.questions.values())]
    assert says == ["a limit is asked for; name its document in the stem (T.O. 33B-1-1)"]
    path.write_text(text.replace("is allowed?", "T.O. 33B-1-1 allows?"), encoding="utf-8")
    shelf = Shelf.of_folder(tmp_path / "bank")
    assert check_questions(shelf, shelf.bank.questions.values()) == []


def test_the_shipped_questions_are_sound() -> None:
    """No fault in any question, and nothing over the whole bank gives answers away."""
    assert check_questions(SHIPPED, SHIPPED.bank.questions.values()) == []
    assert check_balance(SHIPPED.bank) == []


def test_the_shipped_questions_are_many_and_safe() -> None:
    """At least 450 questions, both levels and pools well stocked, more than an eighth of them on safety."""
    found = census(list(SHIPPED.bank.questions.values()))
    assert found["questions"] >= 450
    assert min(found["level"].values()) >= 180
    assert min(found["pool"].values()) >= 200
    assert found["safety_share"] > 1 / 8


def test_right_options_are_spread_over_the_letters() -> None:
    """Over many seeds no letter holds the right option more than a tenth more often than another."""
    found = places(SHIPPED.bank.questions.values()).values()
    assert max(found) < 1.1 * min(found)


def test_lengths_are_measured(tmp_path: Path) -> None:
    """Means in characters, the rank of the right one, and ties shared; worked by hand for one question."""
    measured = lengths(shelf_with(tmp_path).bank.questions.values())
    texts = ["After the current is off", "While it flows, to save time", "When the powder has settled down", "As soon as the meter has risen"]  # fmt: skip
    assert measured.right == len(texts[0])
    assert measured.wrong * 3 == sum(map(len, texts[1:]))
    assert (measured.questions, measured.longest, measured.ranks) == (1, 0, (0, 0, 0, 1))


def test_a_telltale_is_told(tmp_path: Path) -> None:
    """A bank whose right options are all the longest is told so."""
    shelf = shelf_with(tmp_path)
    path = tmp_path / "bank" / "questions" / "prods.yaml"
    head, block = path.read_text(encoding="utf-8").split("questions:\n")
    block = block.split("numbers:")[0].replace("After the current is off", "After the current is off, and not a moment before")  # fmt: skip
    many = "".join(block.replace("id: lift-the-prods", f"id: lift-{n}") for n in range(40))
    path.write_text(f"{head}questions:\n{many}", encoding="utf-8")
    shelf = Shelf.of_folder(tmp_path / "bank")
    length, longest = check_balance(shelf.bank)
    assert "shorten right ones" in length
    assert "longest in 100%" in longest
