"""Read one entry of a history: its kind, its fields, and what must agree inside it."""

from __future__ import annotations

from datetime import date

from trainer.languages import _
from trainer.qualification.entries import Entry
from trainer.qualification.reading.fields import Fields, quoted
from trainer.qualification.reading.heading import Heading, Known, Reader
from trainer.qualification.reading.hours import read_experience, read_practice, read_training, read_work
from trainer.qualification.reading.notation import Node, Plain, plain
from trainer.qualification.reading.person import (
    read_absence,
    read_application,
    read_certificate,
    read_decision,
    read_education,
    read_employment,
    read_reversal,
    read_vision,
)
from trainer.qualification.reading.sittings import read_examination

ALWAYS = ("id", "kind", "entered_by", "countersigned_by", "date")
KEPT = ("note", "evidence", "entered_on", "previous", "hash")
RANGED = frozenset({"training", "experience", "absence"})

# Of each kind: its reader, the fields that are judged, the fields that are only kept.
KINDS: dict[str, tuple[Reader, str, str]] = {
    "training": (
        read_training,
        "method hours mode level content hours_tracked content_tracked examination remedial_for",
        "outline",
    ),
    "practice": (read_practice, "hours method", ""),
    "experience": (
        read_experience,
        "method methods hours shifts hours_each start split nature",
        "task site level_held",
    ),
    "work": (read_work, "method", ""),
    "examination": (
        read_examination,
        "part method level purpose scheme right of percent specimens instruction",
        "paper administered_by",
    ),
    "vision": (read_vision, "test result chart distance_cm restriction", "eyes corrected"),
    "certificate": (read_certificate, "method level scheme until", "number scope"),
    "employment": (read_employment, "event employer records_kept", ""),
    "absence": (read_absence, "reason", ""),
    "education": (read_education, "field completed_years", ""),
    "application": (read_application, "scheme level methods", ""),
    "decision": (read_decision, "what about", ""),
    "reversal": (read_reversal, "reverses reason", ""),
}


def read_entry(node: Node, known: Known) -> Entry:
    """Read one entry; raises Amiss at the first thing that is wrong."""
    fields = Fields(node, _("the entry"))
    kind = fields.choice("kind", KINDS)
    reader, judged, only_kept = KINDS[kind]
    days = ("from", "to") if kind in RANGED else ()
    fields.only(
        (*ALWAYS, *KEPT, *days, *judged.split(), *only_kept.split()),
        _("an entry of kind %(kind)s", kind=kind),
    )
    identity = fields.text("id")
    if identity in known.before:
        raise fields.amiss(
            "id", _("the id %(identity)s was used before; give each entry its own", identity=quoted(identity))
        )
    first, last, ranged = _days(fields, kind)
    heading = Heading(
        id=identity,
        first=first,
        last=last,
        ranged=ranged,
        entered_by=fields.signature("entered_by"),
        countersigned_by=fields.signature("countersigned_by") if fields.has("countersigned_by") else None,
        kept=_kept(fields, (*KEPT, *only_kept.split())),
    )
    return reader(fields, heading, known)


def _days(fields: Fields, kind: str) -> tuple[date, date | None, bool]:
    ranged = kind in RANGED and (fields.has("from") or fields.has("to"))
    if not ranged:
        day = fields.day("date")
        return day, day, False
    if fields.has("date"):
        raise fields.amiss("date", _("write either date, or from and to, not both"))
    first = fields.day("from")
    if kind == "absence" and not fields.has("to"):
        return first, None, True
    last = fields.day("to")
    if first > last:
        raise fields.amiss(
            "from",
            _("from %(first)s lies after to %(last)s; exchange them or mend one", first=first, last=last),
        )
    return first, last, True


def _kept(fields: Fields, names: tuple[str, ...]) -> dict[str, Plain]:
    return {name: plain(fields.get(name)) for name in names if fields.has(name)}
