"""The forms by which entries are made: which fields each kind has, and how they become a ledger entry.

A form only gathers what was typed; whether it can be taken is for the reader of the history format, whose
sentence comes back to the field that it is about.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from trainer.errors import NotFound
from trainer.services.histories import BadEntry
from trainer.web.ledger_sheet import KIND_WORDS

SPECIMENS = 4
MOST_TYPED = 2000
Options = tuple[tuple[str, str], ...]
LEVELS: Options = (("I", "Level I"), ("II", "Level II"))
YES_NO: Options = (("", "not told"), ("true", "yes"), ("false", "no"))


@dataclass(frozen=True, slots=True)
class Spot:
    """One field of a form. ``look``: text, day, number, choose, area or specimens."""

    name: str
    label: str
    look: str = "text"
    hint: str = ""
    options: Options = ()
    start: str = ""


def _choose(name: str, label: str, *words: str, hint: str = "") -> Spot:
    return Spot(name, label, "choose", hint, tuple((word, word.replace("_", " ")) for word in words))


_METHOD = Spot("method", "Method", hint="Letters of the method.", start="MT")
_DAY = Spot("date", "Day", "day")
_HOURS = Spot("hours", "Hours", "number", "For one day. 7.5, never more than 24.")
_FROM = Spot("from", "From", "day", "For a run of days: leave the single day empty.")
_TO = Spot("to", "To", "day")
_LEVEL = Spot("level", "Level", "choose", options=LEVELS)
_SCHEME = Spot("scheme", "Scheme", "choose")
_TAIL = (
    Spot(
        "evidence",
        "Evidence",
        hint="Where the paper lies, for instance folder 7, sheet 12. May be left empty.",
    ),
    Spot("note", "Note", "area", "May be left empty."),
)
SPOTS: dict[str, tuple[Spot, ...]] = {
    "training": (
        _METHOD,
        _DAY,
        _FROM,
        _TO,
        Spot("hours", "Hours of teaching", "number", "Breaks left out. All days together for a run."),
        _choose("mode", "Mode", "classroom", "laboratory", "virtual", "computer", "web"),
        Spot("level", "Whose outline", "choose", options=(*LEVELS, ("", "no level named"))),
        _choose("content", "Content", "theory", "practical"),
        Spot("outline", "Outline", hint="Which course outline. May be left empty."),
        Spot("hours_tracked", "Hours kept track of", "choose", "For computer and web.", YES_NO),
        Spot("content_tracked", "Content kept track of", "choose", "For computer and web.", YES_NO),
        _choose("examination", "Examination at its end", "none", "passed", "failed"),
        Spot(
            "remedial_for",
            "Remedial for",
            hint="Number of the failed examination, for instance e96. Else empty.",
        ),
    ),
    "practice": (_DAY, _HOURS),
    "experience": (
        _METHOD,
        _DAY,
        _HOURS,
        Spot("start", "Start of work", hint="07:30; needed only where two works overlap."),
        _FROM,
        _TO,
        Spot("shifts", "Shifts in the run", "number", "One a day at most."),
        Spot("hours_each", "Hours a shift", "number"),
        Spot("methods", "Several methods instead", hint="MT, PT; then leave Method empty."),
        Spot("split", "Hours of each method", hint="MT 3, PT 5; adds up to all hours."),
        _choose("nature", "Nature", "job", "laboratory"),
        Spot("task", "What was examined", hint="For instance draw hooks."),
        Spot("site", "Where"),
    ),
    "work": (_METHOD, _DAY),
    "examination": (
        _choose("part", "Part", "general", "specific", "practical"),
        _METHOD,
        _LEVEL,
        _DAY,
        _choose("purpose", "Purpose", "initial", "recertification"),
        Spot("right", "Right", "number", "Written parts: questions right, part marks allowed."),
        Spot("of", "Out of", "number", "Written parts: number of questions."),
        Spot("specimens", "Specimens", "specimens", "Practical part: one line for each specimen."),
        Spot(
            "instruction_marks",
            "Written instruction, marks",
            "number",
            "Practical, Level II of ISO 9712 only.",
        ),
        Spot("instruction_of", "Written instruction, out of", "number"),
        Spot("paper", "Paper", hint="Its number or title. May be left empty."),
        Spot("administered_by", "Administered by"),
    ),
    "vision": (
        _choose("test", "Test", "near", "colour"),
        _choose("result", "Result", "pass", "fail", "restricted"),
        _DAY,
        Spot(
            "chart",
            "Chart (near)",
            "choose",
            options=(
                ("", "colour test: none"),
                ("jaeger_1", "Jaeger 1"),
                ("jaeger_2", "Jaeger 2"),
                ("n4.5", "N4.5"),
                ("iso_18490", "ISO 18490"),
                ("other", "another"),
            ),
        ),
        Spot("distance_cm", "Distance in cm (near)", "number", "12 in are 30.48 cm."),
        Spot("eyes", "Eyes", hint="For instance both, left."),
        Spot("restriction", "Restriction", hint="For a restricted colour test."),
    ),
    "certificate": (
        _METHOD,
        _LEVEL,
        _SCHEME,
        Spot("date", "Day granted", "day"),
        Spot("until", "Ends earlier", "day", "Only if it ends before the scheme says. Else empty."),
        Spot("number", "Number"),
        Spot("scope", "Scope"),
    ),
    "employment": (
        _choose("event", "What", "began", "ended", "rehired"),
        Spot("employer", "Employer"),
        _DAY,
        Spot("records_kept", "Records were kept", "choose", "After a rehire.", YES_NO),
    ),
    "absence": (
        _choose("reason", "Reason", "holiday", "sickness", "course", "other"),
        Spot("from", "First day", "day"),
        Spot("to", "Last day", "day", "Empty while it lasts."),
    ),
    "education": (
        _choose("field", "Field", "engineering", "science", "other"),
        Spot("completed_years", "Completed years", "number"),
        Spot("date", "Day completed", "day"),
    ),
    "application": (
        _SCHEME,
        _LEVEL,
        Spot("methods", "Methods", hint="All applied for together: MT, PT.", start="MT"),
        _DAY,
    ),
    "decision": (
        Spot("what", "What is decided", "area"),
        Spot("about", "About entries", hint="Their numbers: e12, e14. May be left empty."),
        _DAY,
    ),
}
_LISTS = frozenset({"methods", "about"})
_FLAGS = frozenset({"hours_tracked", "content_tracked", "records_kept"})


def spots(kind: str, schemes: Options) -> list[Spot]:
    """The fields of a kind, its schemes filled in. Raises NotFound for no such kind."""
    if kind not in SPOTS:
        raise NotFound("There is no such kind of entry.")
    found = [*SPOTS[kind], *_TAIL]
    return [
        Spot(one.name, one.label, one.look, one.hint, schemes) if one.name == "scheme" else one
        for one in found
    ]


def body(kind: str, typed: Mapping[str, str]) -> dict[str, Any]:
    """What was typed, as the body of an entry. Raises BadEntry for a list or split that cannot be read."""
    told: dict[str, Any] = {}
    for spot in (*SPOTS[kind], *_TAIL):
        text = typed.get(spot.name, "")[:MOST_TYPED].strip()
        if spot.look == "specimens":
            told[spot.name] = _specimens(typed)
        elif text and not spot.name.startswith("instruction_"):
            told[spot.name] = _value(spot.name, text)
    marks = {name: typed.get(f"instruction_{name}", "").strip() for name in ("marks", "of")}
    if kind == "examination" and any(marks.values()):
        told["instruction"] = marks
    return {name: value for name, value in told.items() if value not in ("", [])}


def title(kind: str) -> str:
    """The name of a kind."""
    return KIND_WORDS.get(kind, kind)


def _value(name: str, text: str) -> Any:
    if name in _LISTS:
        return [word for word in re.split(r"[\s,;]+", text) if word]
    if name in _FLAGS:
        return {"true": True, "false": False}.get(text, text)
    return _split(text) if name == "split" else text


def _split(text: str) -> dict[str, str]:
    parts = [part.split() for part in re.split(r"[,;]+", text) if part.strip()]
    if any(len(part) != 2 for part in parts):
        raise BadEntry("write each method with its hours: MT 3, PT 5", "split")
    return {part[0]: part[1] for part in parts}


def _specimens(typed: Mapping[str, str]) -> list[dict[str, str]]:
    found = []
    for number in range(1, SPECIMENS + 1):
        names = ("specimen", "checkpoints", "marks", "of")
        line = {name: typed.get(f"{name}-{number}", "")[:100].strip() for name in names}
        if any(line.values()):
            found.append({name: value for name, value in line.items() if value})
    return found
