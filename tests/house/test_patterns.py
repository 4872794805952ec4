"""Regular expressions take no longer than about the square of a text's length, whatever the text."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
import time
from collections.abc import Iterator

import pytest

import trainer

LENGTHS = (*range(16, 64, 4), 224, 1344)  # in short steps at first: what doubles with each sign is soon seen
POWER = 2.5  # between the square and the cube
NOTHING = 0.2  # seconds of processor time that are no burden; below them growth is not looked at
RUNS = (
    *" \n1aAeuTx._-+*/\\,;:=!\"'()[]{}<>%#&é·\u202f",
    "1 ", "1.", "1,", "1'", "a ", "a,", 'a="', '\\"', "\\ud800", "%(",
)  # fmt: skip
HEADS = ("", "1", "<a ", "{#", "{% trans %}", 'said("', "/*", '="')
END = "\0"  # nearly nothing goes on to it, so that every way there is tried


def patterns() -> Iterator[tuple[str, re.Pattern[str], bool]]:
    """Name and pattern of every module of the program, and whether it begins at the head of a text only."""
    for found in pkgutil.walk_packages(trainer.__path__, "trainer."):
        if found.name.startswith("trainer.store.migrations.") or found.name.endswith("__main__"):
            continue
        module = importlib.import_module(found.name)
        for name, value in vars(module).items():
            for pattern in held(value):
                used = re.search(rf"\b{name}\b[^\n]*\.(?:full)?match\(", inspect.getsource(module))
                yield f"{found.name}.{name}", pattern, used is not None


def held(value: object) -> Iterator[re.Pattern[str]]:
    """The patterns that a value is or holds."""
    if isinstance(value, re.Pattern) and isinstance(value.pattern, str):
        yield value
    elif isinstance(value, dict):
        for one in value.values():
            yield from held(one)
    elif isinstance(value, list | tuple | set | frozenset):
        for one in value:
            yield from held(one)


def seconds(pattern: re.Pattern[str], at_head: bool, text: str) -> float:
    """Processor time of looking through a text, the least of three where it is long."""
    least = float("inf")
    for _ in range(3):
        begun = time.process_time()
        if at_head:
            pattern.match(text)
            pattern.fullmatch(text)
        else:
            sum(1 for _ in pattern.finditer(text))
        least = min(least, time.process_time() - begun)
        if least < NOTHING:
            break
    return least


def runs_away(pattern: re.Pattern[str], at_head: bool) -> str:
    """The first text, by head, run and length, that takes too long beside a shorter one; empty where there is none."""
    for head in HEADS:
        for run in RUNS:
            before, shorter = float("inf"), 1
            for length in LENGTHS:
                took = seconds(pattern, at_head, head + run * (length // len(run)) + END)
                if took > max(NOTHING, before * (length / shorter) ** POWER):
                    return f"{head!r}, {run!r} up to {length} signs: {took:.2f} s after {before:.4f} s"
                before, shorter = took, length
    return ""


@pytest.mark.parametrize(
    ("pattern", "at_head", "bad"),
    [("(?:a+)+b", True, True), ("[a-z]*[a-z]*b", True, False), ("[a-z]*[a-z]*b", False, True)],
)
def test_one_that_runs_away_is_found(pattern: str, at_head: bool, bad: bool) -> None:
    """What doubles with each sign, and what grows with the cube once it is tried from every place."""
    assert ("'a'" in runs_away(re.compile(pattern), at_head)) is bad


@pytest.mark.slow
def test_no_pattern_runs_away() -> None:
    """Every compiled pattern stands texts of one sign or word over and over, behind each beginning."""
    searched_last = sorted(patterns(), key=lambda one: not one[2])
    known = {pattern: (name, at_head) for name, pattern, at_head in searched_last}
    assert len(known) > 80
    found = {name: runs_away(pattern, at_head) for pattern, (name, at_head) in known.items()}
    assert {name: bad for name, bad in found.items() if bad} == {}
