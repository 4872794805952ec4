"""The forms by which entries are made: which fields each kind has.

A form only gathers what was typed; whether it can be taken is for the reader of the history format, whose
sentence comes back to the field that it is about.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from trainer.errors import NotFound
from trainer.languages import N_, _, pgettext
from trainer.services.qualifying.entry_words import CHOSEN, KIND_WORDS

Options = tuple[tuple[str, str], ...]
LEVELS: Options = (("I", N_("Level I")), ("II", N_("Level II")))
YES_NO: Options = (("", N_("not told")), ("true", N_("yes")), ("false", N_("no")))


@dataclass(frozen=True, slots=True)
class Spot:
    """One field of a form. ``look``: text, day, number, choose, area or specimens."""

    name: str
    label: str
    look: str = "text"
    hint: str = ""
    options: Options = ()
    start: str = ""


def _choose(name: str, label: str) -> Spot:
    return Spot(name, label, "choose", options=tuple((word, word) for word in CHOSEN[name]))


_METHOD = Spot("method", N_("Method"), hint=N_("Letters of the method."), start="MT")
_DAY = Spot("date", N_("Day"), "day")
_HOURS = Spot("hours", N_("Hours"), "number", N_("For one day. 7.5, never more than 24."))
_FROM = Spot("from", N_("From"), "day", N_("For a run of days: leave the single day empty."))
_TO = Spot("to", N_("To"), "day")
_LEVEL = Spot("level", N_("Level"), "choose", options=LEVELS)
_SCHEME = Spot("scheme", N_("Scheme"), "choose")
_TAIL = (
    Spot(
        "evidence",
        N_("Evidence"),
        hint=N_("Where the paper lies, for instance folder 7, sheet 12. May be left empty."),
    ),
    Spot("note", N_("Note"), "area", N_("May be left empty.")),
)
SPOTS: dict[str, tuple[Spot, ...]] = {
    "training": (
        _METHOD,
        _DAY,
        _FROM,
        _TO,
        Spot("hours", N_("Hours of teaching"), "number", N_("Breaks left out. All days together for a run.")),
        _choose("mode", N_("Mode")),
        Spot("level", N_("Whose outline"), "choose", options=(*LEVELS, ("", N_("no level named")))),
        _choose("content", N_("Content")),
        Spot("outline", N_("Outline"), hint=N_("Which course outline. May be left empty.")),
        Spot("hours_tracked", N_("Hours kept track of"), "choose", N_("For computer and web."), YES_NO),
        Spot("content_tracked", N_("Content kept track of"), "choose", N_("For computer and web."), YES_NO),
        _choose("examination", N_("Examination at its end")),
        Spot(
            "remedial_for",
            N_("Remedial for"),
            hint=N_("Number of the failed examination, for instance e96. Else empty."),
        ),
    ),
    "practice": (_DAY, _HOURS),
    "experience": (
        _METHOD,
        _DAY,
        _HOURS,
        Spot("start", N_("Start of work"), hint=N_("07:30; needed only where two works overlap.")),
        _FROM,
        _TO,
        Spot("shifts", N_("Shifts in the run"), "number", N_("One a day at most.")),
        Spot("hours_each", N_("Hours a shift"), "number"),
        Spot("methods", N_("Several methods instead"), hint=N_("MT, PT; then leave Method empty.")),
        Spot("split", N_("Hours of each method"), hint=N_("MT 3, PT 5; adds up to all hours.")),
        _choose("nature", N_("Nature")),
        Spot("task", N_("What was examined"), hint=N_("For instance draw hooks.")),
        Spot("site", N_("Where")),
    ),
    "work": (_METHOD, _DAY),
    "examination": (
        _choose("part", N_("Part of the examination")),
        _METHOD,
        _LEVEL,
        _DAY,
        _choose("purpose", N_("Purpose")),
        Spot("right", N_("Right"), "number", N_("Written parts: questions right, part marks allowed.")),
        Spot("of", N_("Out of"), "number", N_("Written parts: number of questions.")),
        Spot("specimens", N_("Specimens"), "specimens", N_("Practical part: one line for each specimen.")),
        Spot(
            "instruction_marks",
            N_("Written instruction, marks"),
            "number",
            N_("Practical, Level II of ISO 9712 only."),
        ),
        Spot("instruction_of", N_("Written instruction, out of"), "number"),
        Spot("paper", N_("Examination paper"), hint=N_("Its number or title. May be left empty.")),
        Spot("administered_by", N_("Administered by")),
    ),
    "vision": (
        _choose("test", N_("Test")),
        _choose("result", N_("Result")),
        _DAY,
        Spot(
            "chart",
            N_("Chart (near)"),
            "choose",
            options=(
                ("", N_("colour test: none")),
                ("jaeger_1", "Jaeger 1"),
                ("jaeger_2", "Jaeger 2"),
                ("n4.5", "N4.5"),
                ("iso_18490", "ISO 18490"),
                ("other", N_("another")),
            ),
        ),
        Spot("distance_cm", N_("Distance in cm (near)"), "number", N_("12 in are 30.48 cm.")),
        Spot("eyes", N_("Eyes"), hint=N_("For instance both, left.")),
        Spot("restriction", N_("Restriction"), hint=N_("For a restricted colour test.")),
    ),
    "certificate": (
        _METHOD,
        _LEVEL,
        _SCHEME,
        Spot("date", N_("Day granted"), "day"),
        Spot("until", N_("Ends earlier"), "day", N_("Only if it ends before the scheme says. Else empty.")),
        Spot("number", N_("Number")),
        Spot("scope", N_("Scope")),
    ),
    "employment": (
        _choose("event", N_("What")),
        Spot("employer", N_("Employer")),
        _DAY,
        Spot("records_kept", N_("Records were kept"), "choose", N_("After a rehire."), YES_NO),
    ),
    "absence": (
        _choose("reason", N_("Reason")),
        Spot("from", N_("First day"), "day"),
        Spot("to", N_("Last day"), "day", N_("Empty while it lasts.")),
    ),
    "education": (
        _choose("field", N_("Field")),
        Spot("completed_years", N_("Completed years"), "number"),
        Spot("date", N_("Day completed"), "day"),
    ),
    "application": (
        _SCHEME,
        _LEVEL,
        Spot("methods", N_("Methods"), hint=N_("All applied for together: MT, PT."), start="MT"),
        _DAY,
    ),
    "decision": (
        Spot("what", N_("What is decided"), "area"),
        Spot("about", N_("About entries"), hint=N_("Their numbers: e12, e14. May be left empty.")),
        _DAY,
    ),
}


def spots(kind: str, schemes: Options) -> list[Spot]:
    """The fields of a kind in the reader's language, its schemes filled in. Raises NotFound for no such kind."""
    if kind not in SPOTS:
        raise NotFound(_("There is no such kind of entry."))
    found = [*SPOTS[kind], *_TAIL]
    return [_spoken(one, schemes) for one in found]


def _spoken(spot: Spot, schemes: Options) -> Spot:
    """A field in the reader's language; the names of schemes are the same in each."""
    options = tuple((value, _option(spot.name, words)) for value, words in spot.options)
    return replace(
        spot,
        label=_(spot.label),
        hint=_(spot.hint) if spot.hint else "",
        options=schemes if spot.name == "scheme" else options,
    )


def _option(name: str, words: str) -> str:
    return pgettext(name, words) if words in CHOSEN.get(name, ()) else _(words)


def title(kind: str) -> str:
    """The name of a kind."""
    return _(KIND_WORDS[kind]) if kind in KIND_WORDS else kind
