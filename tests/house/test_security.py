"""tests/SECURITY.md answers every requirement of its standard, and names tests that exist."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

TABLE = (Path(__file__).parents[1] / "SECURITY.md").read_text(encoding="utf-8")
HOUSE = Path(__file__).parents[2]
NAMED = re.compile(r"`(tests/[\w/]+\.py)(?:::(\w+))?`")
ROW = re.compile(r"^\| (\d[\d., –]*) \| ([^|]+) \| ([^|]+) \| ([^|]*) \|$", re.MULTILINE)
# How many requirements each section of edition 4.0.3 has, and those that are withdrawn or of level 3.
# Source: the table "OWASP Application Security Verification Standard 4.0.3" of the OWASP/ASVS repository.
SECTIONS = {
    "1.1": 7, "1.2": 4, "1.4": 5, "1.5": 4, "1.6": 4, "1.7": 2, "1.8": 2, "1.9": 2, "1.10": 1, "1.11": 3,
    "1.12": 2, "1.14": 6, "2.1": 12, "2.2": 7, "2.3": 3, "2.4": 5, "2.5": 7, "2.6": 3, "2.7": 6, "2.8": 7,
    "2.9": 3, "2.10": 4, "3.1": 1, "3.2": 4, "3.3": 4, "3.4": 5, "3.5": 3, "3.6": 2, "3.7": 1, "4.1": 5,
    "4.2": 2, "4.3": 3, "5.1": 5, "5.2": 8, "5.3": 10, "5.4": 3, "5.5": 4, "6.1": 3, "6.2": 8, "6.3": 3,
    "6.4": 2, "7.1": 4, "7.2": 2, "7.3": 4, "7.4": 3, "8.1": 6, "8.2": 3, "8.3": 8, "9.1": 3, "9.2": 5,
    "10.1": 1, "10.2": 6, "10.3": 3, "11.1": 8, "12.1": 3, "12.2": 1, "12.3": 6, "12.4": 2, "12.5": 2,
    "12.6": 1, "13.1": 5, "13.2": 6, "13.3": 2, "13.4": 2, "14.1": 5, "14.2": 6, "14.3": 3, "14.4": 7,
    "14.5": 4,
}  # fmt: skip
WITHDRAWN = {"1.4.2", "1.4.3", "1.12.1", "4.1.4", "7.3.2", "13.1.2", "13.2.4", "14.3.1"}
LEVEL_3 = {
    "1.11.3", "2.2.4", "2.2.5", "2.2.6", "2.2.7", "3.6.1", "3.6.2", "6.2.7", "6.2.8", "6.3.3", "8.1.5", "8.1.6",
    "9.2.5", "10.1.1", "10.2.3", "10.2.4", "10.2.5", "10.2.6", "14.1.5",
}  # fmt: skip

# What is not met, not here, or about what no test of this house can hold.
WITHOUT_TEST = [
    "1.2.1, 1.2.2", "1.9.1, 1.9.2, 9.2.1, 9.2.2, 9.2.3", "1.10.1", "1.14.2", "1.14.6", "2.1.8", "2.1.12", "2.3.2, 2.3.3",
    "2.4.3, 2.4.4", "2.4.5", "3.4.4, 3.4.5", "3.5.1–3.5.3", "5.2.3, 5.3.7, 5.3.10", "8.3.3", "8.3.6", "11.1.2",
    "12.4.2", "14.2.4–14.2.6", "14.4.5",
]  # fmt: skip


def numbers(cell: str) -> list[str]:
    """The requirements that a row answers: "2.1.9, 2.2.1–2.2.3"."""
    found = []
    for part in cell.split(", "):
        first, _, last = part.partition("–")
        section, number = first.rsplit(".", 1)
        until = int(last.rsplit(".", 1)[1]) if last else int(number)
        assert not last or last.rsplit(".", 1)[0] == section, part
        found += [f"{section}.{one}" for one in range(int(number), until + 1)]
    return found


def test_every_requirement_of_level_2_is_answered() -> None:
    """None is left out, none is made up; those in several rows say so in each ("the same")."""
    rows = ROW.findall(TABLE)
    answered = Counter(number for row in rows for number in numbers(row[0]))
    asked = {f"{section}.{one}" for section, count in SECTIONS.items() for one in range(1, count + 1)}
    assert set(answered) == asked - WITHDRAWN - LEVEL_3
    assert {number for number, times in answered.items() if times > 1} <= {"6.4.1", "6.4.2"}
    assert len(rows) == sum(line.startswith("| ") and line[2].isdigit() for line in TABLE.splitlines())


def test_what_is_met_names_its_test() -> None:
    """A row that loses its test is seen."""
    assert [row[0] for row in ROW.findall(TABLE) if not row[3].strip()] == WITHOUT_TEST


def test_every_named_test_exists() -> None:
    """A row whose test was renamed or lost is seen."""
    named = NAMED.findall(TABLE)
    assert len(named) > 100
    lost = [
        f"{file}::{name}"
        for file, name in named
        if not (HOUSE / file).is_file() or f"def {name}" not in (HOUSE / file).read_text(encoding="utf-8")
    ]
    assert lost == []
