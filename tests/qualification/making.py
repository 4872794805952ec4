"""Small histories for the tests: an entry in one line, countersigned unless said otherwise."""

from __future__ import annotations

import json
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any

from trainer.qualification import History, Level, Row, Scheme, Standing, read_history, standing
from trainer.qualification.scheme_reader import read_schemes

SCHEMES = Path(__file__).parents[2] / "question_bank" / "schemes"
COUNTERSIGNER = {
    "examination": "level_iii",
    "vision": "vision_tester",
    "experience": "supervisor",
    "work": "supervisor",
}


@cache
def schemes() -> dict[str, Scheme]:
    """The shipped schemes, read once."""
    return read_schemes(SCHEMES)


def entry(identity: str, kind: str, **fields: Any) -> dict[str, Any]:
    """One entry as data, entered by Ian and countersigned by Emma in a role that may."""
    fields = {"from" if name == "since" else name: value for name, value in fields.items()}
    signed = {"person": "Emma", "role": COUNTERSIGNER.get(kind, "level_iii")}
    made = {
        "id": identity,
        "kind": kind,
        "entered_by": {"person": "Ian", "role": "clerk"},
        "countersigned_by": signed,
    }
    made.update(fields)
    return {name: value for name, value in made.items() if value is not None}


def training(identity: str, hours: Any = 12, **fields: Any) -> dict[str, Any]:
    """Training in MT in a classroom; two days in March 2025."""
    days = {} if "date" in fields or "since" in fields else {"since": "2025-03-03", "to": "2025-03-07"}
    return entry(
        identity, "training", **{"method": "MT", "hours": hours, "mode": "classroom", **days, **fields}
    )


def experience(identity: str, hours: Any = 8, day: str = "2025-04-01", **fields: Any) -> dict[str, Any]:
    """Work on one day, in MT unless said otherwise."""
    if "methods" not in fields:
        fields.setdefault("method", "MT")
    return entry(identity, "experience", date=day, hours=hours, **fields)


def written(
    identity: str, part: str, day: str, right: Any, of: int, level: str = "I", **fields: Any
) -> dict[str, Any]:
    """A sitting of a written part."""
    return entry(
        identity, "examination", part=part, method="MT", level=level, date=day, right=right, of=of, **fields
    )


def practical(
    identity: str, day: str, marks: Any = 9, of: Any = 10, level: str = "I", **fields: Any
) -> dict[str, Any]:
    """A sitting of the practical part on one specimen with ten checkpoints."""
    specimens = fields.pop("specimens", [{"specimen": "P1", "checkpoints": 10, "marks": marks, "of": of}])
    return entry(
        identity,
        "examination",
        part="practical",
        method="MT",
        level=level,
        date=day,
        specimens=specimens,
        **fields,
    )


def near(identity: str, day: str, **fields: Any) -> dict[str, Any]:
    """A near-vision check passed on a fine chart at 33 cm."""
    checked = {"chart": "jaeger_1", "distance_cm": 33, "result": "pass", **fields}
    return entry(identity, "vision", test="near", date=day, **checked)


def colour(identity: str, day: str, **fields: Any) -> dict[str, Any]:
    """A colour-vision check passed."""
    return entry(identity, "vision", test="colour", date=day, **{"result": "pass", **fields})


def certificate(identity: str, day: str, scheme: str, level: str = "I", **fields: Any) -> dict[str, Any]:
    """A certificate granted."""
    return entry(identity, "certificate", method="MT", level=level, scheme=scheme, date=day, **fields)


def reversal(identity: str, reverses: str, day: str = "2025-06-01", **fields: Any) -> dict[str, Any]:
    """A reversal of an earlier entry."""
    return entry(
        identity, "reversal", **{"date": day, "reverses": reverses, "reason": "entered by mistake", **fields}
    )


def text_of(*entries: dict[str, Any], person: str | None = "Tess", **more: Any) -> str:
    """A history as JSON text, one entry a line so that faults have lines to point at."""
    lines = [json.dumps(item) for item in entries]
    head = {"person": person, **more} if person else more
    inner = json.dumps(head)[1:-1]
    return "{" + (inner + ",\n" if inner else "") + '"history": [\n' + ",\n".join(lines) + "]}"


def history(*entries: dict[str, Any], **more: Any) -> History:
    """A history read from its text."""
    return read_history(text_of(*entries, **more), "tess.yaml", schemes())


def judge(scheme: str, level: str, on: str, *entries: dict[str, Any], **more: Any) -> Standing:
    """The standing of a history."""
    return standing(history(*entries, **more), schemes()[scheme], Level[level], date.fromisoformat(on))


def rows(scheme: str, level: str, on: str, *entries: dict[str, Any], **more: Any) -> dict[str, Row]:
    """The rows of a standing by id."""
    return {row.id: row for row in judge(scheme, level, on, *entries, **more).prerequisites}


def practice(scheme: str, **overrides: Any) -> dict[str, Any]:
    """A written practice with overrides such as general_pass=75 (the first underscore stands for the dot)."""
    return {
        "based_on": scheme,
        "revision": "4",
        "in_force": "2024-01-01",
        "approved_by": {"person": "Emma", "role": "level_iii"},
        "overrides": {key: {"value": value, "reason": "our own rule"} for key, value in overrides.items()},
    }
