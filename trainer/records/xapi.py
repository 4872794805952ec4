"""Activity statements (xAPI) of practice and examinations, as a file for another system.

Source: ADL xAPI specification 1.0.3, part "Data" (rules seen; that IEEE 9274.1.1 carries them on as 2.0.0 is from
memory). An export only: statements are never what the program itself relies on. Names and results are those of
the ledger; a success is what the marking said and is never derived anew from the accepted interval.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from uuid import NAMESPACE_URL, uuid5

from trainer.errors import Refused
from trainer.records import jcs
from trainer.records.jcs import Json

VERSION = "2.0.0"
_VERBS = "http://adlnet.gov/expapi/verbs/"
_NUMERIC = "http://adlnet.gov/expapi/activities/cmi.interaction"


@dataclass(frozen=True, slots=True)
class Answered:
    """One answer to one exercise: ``low`` and ``high`` bound what was accepted; ``seconds`` is the time taken."""

    person: str
    item: str
    title: str
    given: str
    is_right: bool
    at: datetime
    low: Decimal | None = None
    high: Decimal | None = None
    seconds: Decimal | None = None


@dataclass(frozen=True, slots=True)
class Sat:
    """One sitting that was marked: points, the most there were, and whether it was passed."""

    person: str
    paper: str
    title: str
    points: Decimal
    of: Decimal
    is_passed: bool
    at: datetime
    seconds: Decimal | None = None

    def __post_init__(self) -> None:
        if not 0 <= self.points <= self.of or self.of == 0:
            raise Refused("The points of a sitting lie between 0 and the most there were.")


def statements(acts: Iterable[Answered | Sat], home: str) -> list[dict[str, Json]]:
    """One statement for each act; ``home`` is an IRI that names this installation (urn:uuid: is enough).

    The same act always has the same statement id, so that taking a file up twice adds nothing.
    """
    return [_answered(act, home) if isinstance(act, Answered) else _sat(act, home) for act in acts]


def statements_bytes(acts: Iterable[Answered | Sat], home: str) -> bytes:
    """The statements as a UTF-8 JSON file."""
    return jcs.written(statements(acts, home))


def _answered(act: Answered, home: str) -> dict[str, Json]:
    definition: dict[str, Json] = {
        "name": {"en": act.title},
        "type": _NUMERIC,
        "interactionType": "numeric",
    }
    if act.low is not None or act.high is not None:
        definition["correctResponsesPattern"] = [f"{_plain(act.low)}[:]{_plain(act.high)}"]
    score = {"scaled": int(act.is_right), "raw": int(act.is_right), "min": 0, "max": 1}
    result: dict[str, Json] = {"response": act.given, "success": act.is_right, "score": score}
    return _statement("answered", act, act.item, home, definition, result)


def _sat(act: Sat, home: str) -> dict[str, Json]:
    definition: dict[str, Json] = {"name": {"en": act.title}}
    score = {"scaled": float(act.points / act.of), "raw": float(act.points), "min": 0, "max": float(act.of)}
    result: dict[str, Json] = {"success": act.is_passed, "completion": True, "score": score}
    return _statement("passed" if act.is_passed else "failed", act, act.paper, home, definition, result)


def _statement(
    verb: str,
    act: Answered | Sat,
    thing: str,
    home: str,
    definition: dict[str, Json],
    result: dict[str, Json],
) -> dict[str, Json]:
    if act.seconds is not None:
        result["duration"] = f"PT{_plain(act.seconds)}S"
    time = _time(act.at)
    return {
        "id": str(uuid5(NAMESPACE_URL, "\x1f".join((home, act.person, verb, thing, time)))),
        "version": VERSION,
        "actor": {"objectType": "Agent", "account": {"homePage": home, "name": act.person}},
        "verb": {"id": _VERBS + verb, "display": {"en": verb}},
        "object": {
            "objectType": "Activity",
            "id": f"urn:uuid:{uuid5(NAMESPACE_URL, f'{home}/{thing}')}",
            "definition": definition,
        },
        "result": result,
        "timestamp": time,
    }


def _time(at: datetime) -> str:
    if at.tzinfo is None:
        raise Refused("A statement's time needs its zone.")
    return at.isoformat(timespec="milliseconds").replace("+00:00", "Z")


def _plain(number: Decimal | None) -> str:
    return "" if number is None else format(number, "f")
