"""Imports point down only, and each room uses only the libraries that it is there for."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests.house.reading import calls, dotted, imports, modules

# From the ground up. A room may import rooms of lower storeys, and itself.
STOREYS: tuple[frozenset[str], ...] = (
    frozenset({"errors", "settings", "installing", "everywhere", "start"}),
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
    "serving": frozenset({"waitress", "ifaddr", "segno", "werkzeug", "flask"}),
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


@pytest.mark.parametrize("file", inside(), ids=dotted)
def test_imports_point_down(file: Path) -> None:
    """A module imports its own room and lower storeys, nothing beside or above it."""
    own = dotted(file)
    wrong = [
        name
        for name in imports(file)
        if name.split(".")[0] == "trainer"
        and room(name) not in ("", room(own), "__version__")
        and storey(name) >= storey(own)
        and not (storey(own) == storey(name) == 0)
    ]
    assert not wrong, f"{own} imports {', '.join(sorted(set(wrong)))}, which does not stand below it"


@pytest.mark.parametrize("file", [file for file in inside() if len(served(file)) > 1], ids=dotted)
def test_rooms_of_services_stand_on_each_other(file: Path) -> None:
    """A service imports its own room and rooms before it."""
    own = FLOORS.index(served(file)[0])
    above = {
        name
        for name in imports(file)
        if name.startswith(tuple(f"trainer.services.{up}" for up in FLOORS[own + 1 :]))
    }
    assert not above, f"{dotted(file)} imports {', '.join(sorted(above))}, which stands above it"


def test_every_service_has_a_room() -> None:
    """No module lies about in services itself, and the table of its rooms is whole."""
    assert {served(file)[0] for file in inside() if len(served(file)) > 1} == set(FLOORS)
    assert [dotted(file) for file in inside() if len(served(file)) == 1 and file.name != "__init__.py"] == []


@pytest.mark.parametrize("file", inside(), ids=dotted)
def test_libraries_stay_in_their_rooms(file: Path) -> None:
    """A module uses only the libraries that the table allows its room."""
    own = dotted(file)
    allowed = OUTSIDE.get(room(own), frozenset())
    used = {name.split(".")[0] for name in imports(file)} - {"trainer", "__future__"}
    wrong = used - allowed - sys.stdlib_module_names
    assert not wrong, f"{own} uses {', '.join(sorted(wrong))}, which does not belong into {room(own)}"


@pytest.mark.parametrize("file", [file for file in inside() if room(dotted(file)) in PURE], ids=dotted)
def test_domain_rooms_read_no_clock_and_no_chance(file: Path) -> None:
    """In a domain room time and chance are arguments."""
    own = dotted(file)
    clocks = [f"line {line}: {name}()" for line, name in calls(file) if name in CLOCKS]
    assert not clocks, f"{own} reads a clock: {', '.join(clocks)}"
    chance = CHANCE & {*(name.split(".")[0] for name in imports(file)), *(name for _, name in calls(file))}
    assert not chance, f"{own} uses chance: {', '.join(sorted(chance))}"


def test_the_first_module_imports_nothing() -> None:
    """trainer itself imports nothing, so that the setting-up module runs on a bare Python."""
    assert list(imports(next(file for file in modules() if dotted(file) == "trainer"))) == []
