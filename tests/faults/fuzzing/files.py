"""Spoilt files of every kind that people write by hand: the bank's, schemes, histories, practices, settings.

Each is read in the way in which the program reads it. What is taken must be usable: a history is written and read
again to the same, and judged; a drill's formulas are read, and now and then all of it is checked as a draft.
"""

from __future__ import annotations

import json
import random
import re
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import date
from pathlib import Path
from typing import Any

import yaml

from tests.faults.fuzzing import Target
from tests.faults.fuzzing.spoiling import bytes_spoilt, data_spoilt, text
from tests.qualification.making import schemes
from trainer.bank import load_bank
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles, TrainerError
from trainer.examinations import specimen_file
from trainer.formulas.solved import FILE
from trainer.qualification import (
    FaultyHistory,
    Level,
    judge_batch,
    read_history,
    read_practice_file,
    standing,
    write_history,
)
from trainer.qualification.scheme_reader import read_scheme
from trainer.services.authoring import draft_text
from trainer.settings import SETTINGS_FILE, Settings, commented

HOUSE = Path(__file__).parents[3]
BANK, SMALL = HOUSE / "question_bank", HOUSE / "tests" / "small_bank"
CASES = HOUSE / "tests" / "qualification" / "cases.yaml"
ON = date(2026, 3, 20)
MOST_CHARACTERS = 7000
CHECKED = 0.005  # of the drafts, since a check draws sixty exercises and may solve
SNARES = (
    "&a [*a]", "!!python/object/apply:os.system ['true']", "<<: {x: 1}", "? [x]\n: y", "%YAML 9.9\n", "---\n", "...\n",
    "\t- x\n", "x: |\n", "x: >-\n  ", "{" * 130, "[" * 25 + "]" * 25, "- " * 40, "'", '"\\ud800"', '"\\x00"', "# ",
    "x: 1\nx: 2\n", "x: 1e999\n", "x: .inf\n", "x: 0x1F\n", "x: 12:30:45\n", "x: 2026-11-25T10:00:00Z\n", "\ufeff", "\u2028",
    "a: &a [x,x]\nb: &b [*a,*a]\nc: [*b,*b]\n", "x: !!binary aGk=\n", "x: !!float nan\n", ": ", "- - - -\n", "\x85", "=",
)  # fmt: skip
Reading = Callable[[str, bytes, random.Random], None]
Sources = list[tuple[str, str]]
_PRACTICE = """based_on: SNT-2020
revision: "3"
in_force: 2024-05-01
approved_by: {person: Emma, role: level_iii}
overrides:
  training.I: {value: 14, reason: our own measure}
  practical.specimens: {value: 2, reason: two kinds of parts}
"""
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
_DUMPER: Any = getattr(yaml, "CSafeDumper", yaml.SafeDumper)


@contextmanager
def begun(folder: Path) -> Iterator[Target]:
    """Read one spoilt file after the other."""
    kinds: list[tuple[int, Reading, Sources]] = [
        (6, _own_bank(folder), _bank_files()),
        (1, _drafting(), _texts(BANK / "starts")),
        (1, _scheme, _texts(BANK / "schemes")),
        (5, _history, _histories()),
        (2, _practice, [("practice.yaml", _PRACTICE)]),
        (2, _batch, [("batch.yaml", _written(_cases()[:4]))]),
        (1, _specimens, [("specimens.yaml", specimen_file.EXAMPLE)]),
        (2, _settings(folder), [(SETTINGS_FILE, re.sub(r"(?m)^# (\w+ = )", r"\1", commented()))]),
    ]
    weights = [weight for weight, _, _ in kinds]

    def one(chance: random.Random) -> str:
        _, reading, sources = chance.choices(kinds, weights)[0]
        name, whole = chance.choice(sources)
        kind = reading.__name__.strip("_")
        try:
            reading(name, _spoilt(name, whole, chance), chance)
        except TrainerError as fault:
            return f"{kind} refused" if _in_words(fault) else f"false: {kind} refused without a word"
        return f"{kind} taken"

    yield one


def _in_words(fault: TrainerError) -> bool:
    """Whether each fault is a sentence."""
    faults = fault.faults if isinstance(fault, FaultyFiles | FaultyHistory) else (fault,)
    return bool(faults) and all(map(str, faults))


def _spoilt(name: str, whole: str, chance: random.Random) -> bytes:
    """By bytes, by a snare put in at the beginning of a line, or in what the text means."""
    how = chance.random()
    if how < 0.3:
        return bytes_spoilt(whole.encode(), chance)
    if how < 0.5 or name.endswith(".toml"):
        lines = whole.splitlines(keepends=True)
        snare = chance.choice(SNARES) if chance.random() < 0.9 else text(chance)
        lines.insert(chance.randrange(len(lines) + 1), snare + chance.choice(("", "\n")))
        return "".join(lines).encode("utf-8", "surrogatepass")
    data = yaml.load(whole, Loader=_LOADER)
    for _ in range(chance.choice((1, 1, 2, 3))):
        data = data_spoilt(data, chance)
    try:
        return _written(data).encode()
    except UnicodeEncodeError:
        return json.dumps(
            data, default=str
        ).encode()  # halves of characters, which YAML knows as escapes of JSON only


def _written(data: Any) -> str:
    return yaml.dump(data, Dumper=_DUMPER, allow_unicode=True, sort_keys=False)


def _texts(folder: Path) -> Sources:
    return [(path.name, path.read_text(encoding="utf-8")) for path in sorted(folder.glob("*.yaml"))]


def _bank_files() -> Sources:
    """Each file of the bank under its place; of a topic's questions and other long lists only the first few."""
    found = []
    for path in sorted(BANK.rglob("*.yaml")):
        place = path.relative_to(BANK)
        if place.parts[0] in {"schemes", "starts", "schemas"}:
            continue
        whole = path.read_text(encoding="utf-8")
        if len(whole) > MOST_CHARACTERS:
            whole = _written({name: _few(value) for name, value in yaml.load(whole, Loader=_LOADER).items()})
        found.append((place.as_posix(), whole))
    return found


def _few(value: Any) -> Any:
    if isinstance(value, dict):
        return dict(list(value.items())[:3])
    return value[:3] if isinstance(value, list) else value


def _cases() -> list[dict[str, Any]]:
    cases: list[dict[str, Any]] = yaml.load(CASES.read_text(encoding="utf-8"), Loader=_LOADER)
    return [
        {name: str(one) if isinstance(one, date) else one for name, one in case.items()} for case in cases
    ]


def _histories() -> Sources:
    kept = ("person", "written_practice", "history")
    return [
        (case["scheme"], _written({name: case[name] for name in kept if name in case})) for case in _cases()
    ]


def _own_bank(folder: Path) -> Reading:
    """A file among the employer's own items, beside a sound bank: its faults leave it out and stop nothing."""
    own = folder / "question_bank"

    def bank(name: str, data: bytes, chance: random.Random) -> None:
        shutil.rmtree(own, ignore_errors=True)
        file = own / name
        file.parent.mkdir(parents=True)
        file.write_bytes(data)
        loaded = load_bank(SMALL, private=own)
        if loaded.private_faults:
            raise FaultyFiles(loaded.private_faults)
        shelf = Shelf(loaded, SMALL / FILE)
        for item in loaded.private & loaded.drills.keys():
            shelf.read(loaded.drills[item])

    return bank


def _drafting() -> Reading:
    """An item as it is written on the page."""
    shelf = Shelf.of_folder(SMALL)

    def draft(name: str, data: bytes, chance: random.Random) -> None:
        kind = name.removesuffix(".yaml")
        text_typed = data.decode("utf-8", "replace")
        draft_text.place_of(kind, text_typed)
        if chance.random() < CHECKED:
            draft_text.check(shelf, kind, text_typed)

    return draft


def _scheme(name: str, data: bytes, chance: random.Random) -> None:
    read_scheme(data, name)


def _history(name: str, data: bytes, chance: random.Random) -> None:
    read = read_history(data, "history.yaml", chance.choice((None, schemes().keys())))
    written = write_history(read)
    again = read_history(written, "again.yaml")
    assert again.entries == read.entries, "another history is read from what was written"
    scheme = schemes()[name]
    for level in Level:
        if level in scheme.levels:
            judged = standing(read, scheme, level, ON)
            assert judged.overall
            assert all(row.says for row in judged.prerequisites)


def _practice(name: str, data: bytes, chance: random.Random) -> None:
    read_practice_file(data, name, schemes())


def _batch(name: str, data: bytes, chance: random.Random) -> None:
    for outcome in judge_batch(data, name, schemes()):
        assert (outcome.error is None) != (outcome.standing is None)


def _specimens(name: str, data: bytes, chance: random.Random) -> None:
    pieces, faults = specimen_file.read(data)
    assert pieces or faults
    if faults:
        raise FaultyFiles(faults)


def _settings(folder: Path) -> Reading:
    """The file of settings in an instance."""
    instance = folder / "instance"
    instance.mkdir()

    def settings(name: str, data: bytes, chance: random.Random) -> None:
        (instance / name).write_bytes(data)
        Settings.load(instance, {})

    return settings
