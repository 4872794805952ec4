"""One person's record as plain facts: what a credential, a certificate and the tables are made from."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal

from trainer.errors import Refused
from trainer.languages import N_, _
from trainer.records import signers
from trainer.records.chain import Head
from trainer.records.jcs import MAX_SAFE_INTEGER, Json
from trainer.records.signers import Signer
from trainer.records.statuslist import StatusPlace

VERDICTS = ("met", "not_met", "expired")
SAYS_VERDICT = {"met": N_("met"), "not_met": N_("not met"), "expired": N_("expired")}
NO_CERTIFICATE = N_(
    "This is a statement of recorded facts. Whether the person is certified is decided by the employer and its "
    "Level III, not by this file or the program that wrote it."
)


@dataclass(frozen=True, slots=True)
class Person:
    """The person concerned: the id by which the employer knows them and, if wanted, the printed name."""

    id: str
    name: str | None = None


@dataclass(frozen=True, slots=True)
class Row:
    """One prerequisite as the scheme judged it; ``have`` and ``need`` are in ``unit``, None where nothing fits."""

    id: str
    title: str
    verdict: str
    have: Decimal | None
    need: Decimal | None
    unit: str | None
    until: date | None
    clause: str
    says: str

    def __post_init__(self) -> None:
        if self.verdict not in VERDICTS:
            raise Refused(f"A prerequisite is met, not_met or expired; {self.verdict!r} is none of these.")


@dataclass(frozen=True, slots=True)
class Inclusion:
    """Where an entry stands in the ledger's Merkle tree: its index and the hashes up to the root."""

    index: int
    proof: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class Record:
    """What is exported about one person: the standing on one day and the ledger entries it rests on.

    ``id`` is a urn:uuid. ``entries`` are mappings in the form of the history format (decimals as Decimal or
    text, days as date or text). ``inclusions`` are by entry id.
    """

    id: str
    person: Person
    issuer_did: str
    issuer_name: str
    on: date
    scheme: str
    scheme_title: str
    level: str
    overall: str
    rows: tuple[Row, ...]
    entries: tuple[Mapping[str, object], ...]
    method: str = "MT"
    written_practice: str | None = None
    valid_until: date | None = None
    status: tuple[StatusPlace, ...] = ()
    head: Head | None = None
    inclusions: Mapping[str, Inclusion] = field(default_factory=dict)
    signers: tuple[Signer, ...] = ()

    def __post_init__(self) -> None:
        if not self.id.startswith("urn:uuid:"):
            raise Refused("A record's id is a urn:uuid.")
        if self.overall not in VERDICTS:
            raise Refused(f"The whole is met, not_met or expired; {self.overall!r} is none of these.")
        if self.valid_until and self.valid_until < self.on:
            raise Refused("A record cannot end before the day on which it judges.")
        signers.check(self.issuer_did, self.signers)


def good_until(rows: tuple[Row, ...], on: date) -> date | None:
    """The last day on which all that is met on ``on`` still is: the earliest end among the met rows."""
    return min(
        (row.until for row in rows if row.verdict == "met" and row.until and row.until >= on), default=None
    )


def headline(record: Record) -> str:
    """The one sentence that the record states."""
    what = f"for {record.method} Level {record.level} under {record.scheme_title}"
    day = record.on.isoformat()
    if record.overall == "met":
        return f"Prerequisites {what} met on {day} on these records."
    if record.overall == "expired":
        return f"Prerequisites {what}: something had expired on {day} on these records."
    return f"Prerequisites {what} not all met on {day} on these records."


def plain(value: object) -> Json:
    """The value as signed JSON may hold it: decimals and days as text, so that no digit is lost.

    Raises Refused for binary floating point numbers and anything else that has no exact form.
    """
    if value is None or isinstance(value, bool | str):
        return value
    if isinstance(value, int) and abs(value) <= MAX_SAFE_INTEGER:
        return value
    if isinstance(value, Decimal) and value.is_finite():
        return format(value, "f")
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Mapping):
        return {str(name): plain(member) for name, member in value.items()}
    if isinstance(value, list | tuple):
        return [plain(member) for member in value]
    raise Refused(f"{value!r} cannot be signed exactly; give decimals as text or Decimal, days as date.")


def entry_days(entry: Mapping[str, object]) -> str:
    """The day or days of an entry in words."""
    if "from" in entry:
        end = entry.get("to")
        first = entry["from"]
        return _("%(first)s to %(last)s", first=first, last=end) if end else _("from %(first)s", first=first)
    return str(entry.get("date", ""))


def entry_facts(entry: Mapping[str, object]) -> str:
    """What an entry records, in one line, in the words of its own fields."""
    kept = (
        "id",
        "kind",
        "date",
        "from",
        "to",
        "entered_by",
        "countersigned_by",
        "hash",
        "previous",
        "evidence",
    )
    return ", ".join(
        f"{name.replace('_', ' ')} {_said(value)}" for name, value in entry.items() if name not in kept
    )


def entry_hands(entry: Mapping[str, object]) -> str:
    """Who entered an entry and who countersigned it."""
    entered, signed = _hand(entry.get("entered_by")), _hand(entry.get("countersigned_by"))
    parts = [_("entered by %(who)s", who=entered)] if entered else []
    parts.append(_("countersigned by %(who)s", who=signed) if signed else _("not countersigned"))
    return ", ".join(parts)


def _hand(value: object) -> str:
    if not isinstance(value, Mapping):
        return ""
    role = str(value.get("role", "")).replace("_", " ").replace("level iii", "Level III")
    return f"{value.get('person', '')} ({_(role)})" if role else str(value.get("person", ""))


def _said(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    if isinstance(value, Mapping):
        return " ".join(f"{str(name).replace('_', ' ')} {_said(member)}" for name, member in value.items())
    if isinstance(value, list | tuple):
        return "; ".join(_said(member) for member in value)
    return str(value)
