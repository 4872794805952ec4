"""The forms by which entries are made: which fields each kind has.

A form only gathers what was typed; whether it can be taken is for the reader of the history format, whose
sentence comes back to the field that it is about.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.errors import NotFound
from trainer.web.ledger_sheet import KIND_WORDS

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


def spots(kind: str, schemes: Options) -> list[Spot]:
    """The fields of a kind, its schemes filled in. Raises NotFound for no such kind."""
    if kind not in SPOTS:
        raise NotFound("There is no such kind of entry.")
    found = [*SPOTS[kind], *_TAIL]
    return [
        Spot(one.name, one.label, one.look, one.hint, schemes) if one.name == "scheme" else one
        for one in found
    ]


def title(kind: str) -> str:
    """The name of a kind."""
    return KIND_WORDS.get(kind, kind)
