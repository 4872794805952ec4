"""Imports point down only, and each room uses only the libraries that it is there for."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from pathlib import Path

from tests.house.reading import dotted, modules, read

# From the ground up. A room may import rooms of lower storeys, and itself.
STOREYS: tuple[frozenset[str], ...] = (
    frozenset({"errors", "private_files", "settings", "installing", "everywhere", "start"}),
    frozenset({"languages"}),
    frozenset({"formulas", "fields"}),
    frozenset({"bank", "drawing"}),
    frozenset({"drills", "practice", "qualification", "records", "statistics"}),
    frozenset({"jobs", "printing", "questions", "shopwork"}),
    frozenset({"examinations"}),
    frozenset({"store"}),
    frozenset({"services"}),
    frozenset({"web"}),
    frozenset({"app", "serving"}),
    frozenset({"cli"}),
)
# The rooms inside services, from the ground up: each uses those before it, and itself.
FLOORS = (
    "keeping",
    "admitting",
    "qualifying",
    "practising",
    "teaching",
    "authoring",
    "examining",
    "overseeing",
    "proving",
    "inventing",
)
# What a room may use from outside, beside the standard library.
OUTSIDE: dict[str, frozenset[str]] = {
    "languages": frozenset({"babel"}),
    "formulas": frozenset({"sympy", "pint"}),
    "bank": frozenset({"yaml", "pydantic", "annotated_types", "pydantic_core"}),
    "qualification": frozenset({"pydantic", "yaml", "pydantic_core"}),
    "records": frozenset({"cryptography", "rfc8785", "base58", "typst", "pypdf", "xlsxwriter", "icalendar"}),
    "printing": frozenset({"typst"}),
    "store": frozenset({"sqlalchemy", "alembic"}),
    "services": frozenset({"sqlalchemy", "argon2", "python_calamine"}),
    "web": frozenset({"flask", "flask_wtf", "jinja2", "wtforms", "werkzeug", "markupsafe", "segno"}),
    "app": frozenset({"flask", "jinja2"}),
    "serving": frozenset({"waitress", "cryptography", "ifaddr", "segno", "werkzeug", "flask"}),
    "cli": frozenset({"click", "segno", "flask"}),
}
PURE = frozenset(
    {
        "formulas",
        "fields",
        "bank",
        "drills",
        "jobs",
        "questions",
        "shopwork",
        "drawing",
        "practice",
        "examinations",
        "qualification",
        "records",
        "statistics",
        "printing",
    }
)
CLOCKS = frozenset({"now", "today", "utcnow", "monotonic", "perf_counter", "uuid1"})
CHANCE = frozenset({"random", "secrets", "uuid4", "urandom"})
OURS = {"trainer", "__future__", *sys.stdlib_module_names}


def room(name: str) -> str:
    """The room of a module of ours: the word after trainer."""
    return name.split(".")[1] if "." in name else ""


def storey(name: str) -> int:
    """On which storey the room of a module stands."""
    for height, rooms in enumerate(STOREYS):
        if room(name) in rooms:
            return height
    raise AssertionError(f"{name} stands in no room of the table STOREYS: give its room a storey there")


def inside() -> list[Path]:
    """Every module that stands in a room."""
    return [file for file in modules() if dotted(file) != "trainer"]


def served(file: Path) -> list[str]:
    """Room and module of a service; nothing for what is none."""
    names = dotted(file).split(".")[1:]
    return names[1:] if names[:1] == ["services"] else []


def test_imports_point_down() -> None:
    """A module imports its own room and lower storeys, nothing beside or above it."""
    assert {(dotted(file), name) for file in inside() for name in not_below(file)} == set()


def not_below(file: Path) -> Iterator[str]:
    """What a module imports of ours that does not stand below it."""
    own = dotted(file)
    for name in read(file).imports:
        if name.split(".")[0] != "trainer" or room(name) in ("", room(own), "__version__"):
            continue
        if storey(name) >= storey(own) and not (storey(own) == storey(name) == 0):
            yield name


def test_rooms_of_services_stand_on_each_other() -> None:
    """A service imports its own room and rooms before it."""
    above = {
        (dotted(file), name)
        for file in inside()
        if len(served(file)) > 1
        for name in read(file).imports
        for up in FLOORS[FLOORS.index(served(file)[0]) + 1 :]
        if name.startswith(f"trainer.services.{up}")
    }
    assert above == set()


def test_every_service_has_a_room() -> None:
    """No module lies about in services itself, and the table of its rooms is whole."""
    assert {served(file)[0] for file in inside() if len(served(file)) > 1} == set(FLOORS)
    assert [dotted(file) for file in inside() if len(served(file)) == 1 and file.name != "__init__.py"] == []


def test_libraries_stay_in_their_rooms() -> None:
    """A module uses only the libraries that the table allows its room."""
    strangers = {
        (dotted(file), library)
        for file in inside()
        for library in {name.split(".")[0] for name in read(file).imports} - OURS
        if library not in OUTSIDE.get(room(dotted(file)), frozenset())
    }
    assert strangers == set()


def test_domain_rooms_read_no_clock_and_no_chance() -> None:
    """In a domain room time and chance are arguments."""
    found = set()
    for file in (file for file in inside() if room(dotted(file)) in PURE):
        called = {name for _, name in read(file).calls}
        libraries = {name.split(".")[0] for name in read(file).imports}
        found |= {(dotted(file), name) for name in called & CLOCKS | (called | libraries) & CHANCE}
    assert found == set()


def test_the_first_module_imports_nothing() -> None:
    """trainer itself imports nothing, so that the setting-up module runs on a bare Python."""
    assert read(next(file for file in modules() if dotted(file) == "trainer")).imports == ()
