"""A file of specimens is read whole; every faulty one is named by its line, the good ones beside it stand."""

from __future__ import annotations

import pytest

from tests.work import calls_in
from trainer.examinations.specimen import Known
from trainer.examinations.specimen_file import EXAMPLE, MOST_BYTES, MOST_SPECIMENS, read

HEAD = "specimens:\n"
GOOD = "  - {code: G1, title: Good, known: [{kind: seam, x: 1, y: 2, length: 3}]}\n"


def test_the_example_is_read() -> None:
    """What the page shows as an example can be taken, with exact millimetres and the line of each piece."""
    pieces, faults = read(EXAMPLE.encode())
    assert faults == ()
    assert [(one.line, one.code, one.title) for one in pieces] == [
        (2, "P4", "Butt weld, 300 mm"), (7, "P5", "Brake pin")
    ]  # fmt: skip
    assert pieces[0].known == (Known("toe crack", "120", "45", "8", True), Known("seam", "33", "77", "21.5"))


@pytest.mark.parametrize(
    ("piece", "says"),
    [
        ("{title: T, known: [{kind: seam, x: 1, y: 2, length: 3}]}", "the key 'code' is missing"),
        ("{code: 7, title: T, known: [{kind: seam, x: 1, y: 2, length: 3}]}", "text is wanted"),
        ("{code: P1, title: T, known: []}", "at least 1"),
        ("{code: P1, title: T, known: [{kind: seam, x: 1, y: 2}]}", "the key 'length' is missing"),
        ("{code: P1, title: T, known: [{kind: seam, x: far, y: 2, length: 3}]}", "number is wanted"),
        ("{code: P1, title: T, known: [{kind: seam, x: -1, y: 2, length: 3}]}", "at least 0"),
        ("{code: P1, title: T, known: [{kind: seam, x: 1, y: 2, length: 10001}]}", "at most 10000"),
        ("{code: P1, title: T, known: [{kind: seam, x: 1.0e400, y: 2, length: 3}]}", "beyond counting"),
        ("{code: P1, title: T, known: [{kind: 'a; b', x: 1, y: 2, length: 3}]}", "without a semicolon"),
        ('{code: P1, title: T, known: [{kind: "a\\u202eb", x: 1, y: 2, length: 3}]}', "plain words"),
        ("{code: P1, title: T, known: [{kind: s, x: 1, y: 2, length: 3, must: yes}]}", "true or false"),
        ("{code: P1, title: T, colour: red, known: [{kind: s, x: 1, y: 2, length: 3}]}", "'colour' is not known"),
        ("{code: " + "P" * 21 + ", title: T, known: [{kind: s, x: 1, y: 2, length: 3}]}", "20 characters"),
        ("P1", "keys and values are wanted"),
    ],
)  # fmt: skip
def test_a_faulty_specimen_is_named_and_the_others_stand(piece: str, says: str) -> None:
    """One sentence with the line; what stands before and behind it is read."""
    pieces, faults = read(f"{HEAD}{GOOD}  - {piece}\n{GOOD}".encode())
    assert [one.line for one in pieces] == [2, 4]
    assert [fault.line for fault in faults] == [3]
    assert says in faults[0].says


def test_all_faulty_ones_are_named_at_once() -> None:
    """Two bad pieces, three faults: all come back together."""
    bad = "  - {code: P1, title: T, known: [{kind: seam, x: 1}]}\n  - {title: T, known: 5}\n"
    _, faults = read((HEAD + bad).encode())
    assert [fault.line for fault in faults] == [2, 2, 3, 3]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (b"", "one key, specimens"),
        (b"specimens: []", "one key, specimens"),
        (b"specimens: {a: 1}", "one key, specimens"),
        (b"pieces: [a]", "one key, specimens"),
        (b"specimens: [a\n", "not YAML"),
        (b"specimens: &a [*a]", "anchors"),
        (b"\xff\xfe", "not UTF-8"),
        (b"x" * (MOST_BYTES + 1), "larger than"),
        (HEAD.encode() + GOOD.encode() * (MOST_SPECIMENS + 1), "at most 200"),
    ],
)
def test_what_is_no_file_of_specimens(text: bytes, says: str) -> None:
    """Nothing is read, and one sentence says why."""
    pieces, faults = read(text)
    assert pieces == ()
    assert says in faults[0].says


def test_a_full_file_costs_a_bounded_amount_of_work() -> None:
    """As many specimens as there may be; the work for each does not grow with their number."""
    few = calls_in(lambda: read((HEAD + GOOD * 20).encode()))
    many = calls_in(lambda: read((HEAD + GOOD * MOST_SPECIMENS).encode()))
    assert many < 12 * few
