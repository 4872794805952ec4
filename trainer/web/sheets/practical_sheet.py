"""How a practical is shown: areas with their points, whose marks may be seen, what came out."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from trainer.bank import Bank
from trainer.bank.practical import Area, Practical
from trainer.drawing.measures import Spot, piece
from trainer.examinations.practical import FALSE_CALLS, KNOWN, SHARES, Difference, Outcome
from trainer.examinations.specimen import Known
from trainer.languages import N_, _
from trainer.services.examining import scoring_practicals, specimens
from trainer.services.examining.practicals import Held
from trainer.store.models import Person, PracticalSheet, Specimen

AREA_WORDS: dict[Area, str] = {
    "apparatus": N_("Apparatus and checks"),
    "application": N_("Work on the part"),
    "detection": N_("Finding and reporting"),
    "instruction": N_("Written instruction"),
}


@dataclass(frozen=True, slots=True)
class Row:
    """One point as it stands on the sheet. ``place`` is where a known discontinuity lies, for examiners."""

    id: str
    text: str
    marks: int
    critical: bool
    place: str
    words: tuple[str, ...]
    mine: str
    both: tuple[str, ...]
    open: bool
    differs: bool
    grave: bool


@dataclass(frozen=True, slots=True)
class Part:
    """One area with its rows."""

    name: str
    weight: int
    rows: tuple[Row, ...]

    @property
    def known(self) -> bool:
        """Whether the known discontinuities stand in it."""
        return any(row.place for row in self.rows)


@dataclass(frozen=True, slots=True)
class View:
    """Everything the pages of one practical say."""

    row: PracticalSheet
    person: str
    checklist: Practical
    parts: tuple[Part, ...]
    state: str
    unmarked: int
    points: int
    examiners: tuple[tuple[str, str], ...]
    outcome: Outcome | None
    shares: tuple[tuple[str, str, str], ...]
    grave: int
    differing: int
    map: str


def view(held: Held, by_id: int) -> View:
    """The practical as one of its examiners may see it: the other's marks only when both are done."""
    apart = {one.id: one for one in held.differences}
    grave = sum(one.grave for one in apart.values())
    scored = held.all_done and not grave and not held.row.void_reason
    found = scoring_practicals.result(held) if scored else None
    parts = [
        Part(_(AREA_WORDS[area]), held.checklist.weights[area], tuple(_rows(held, area, by_id, apart)))
        for area in held.checklist.areas
    ]
    return View(
        held.row, _named(held.row.person), held.checklist, tuple(parts), _state(held, by_id),
        len(held.sheet.unmarked(held.marks[by_id])), len(held.sheet.unmarked({})),
        tuple(_examiners(held)), found, tuple(_shares(found)) if found else (), grave, len(apart),
        drawn_map(held.row.specimen),
    )  # fmt: skip


def drawn_map(specimen: Specimen) -> str:
    """The private map as a drawing, numbered like the rows of the known discontinuities."""
    spots = [Spot(k.kind, float(k.x), float(k.y), float(k.length)) for k in specimens.known(specimen)]
    return piece(spots, _("What is in %(code)s", code=specimen.code))


def empty_areas(checklist: Practical) -> list[tuple[str, int, tuple[tuple[str, int, bool], ...]]]:
    """The areas of a checklist with text, marks and critical of each checkpoint, for the empty form."""
    return [
        (
            _(AREA_WORDS[area]), checklist.weights[area],
            tuple((one.text, one.marks, one.critical) for one in checklist.checkpoints.get(area, ())),
        )
        for area in checklist.areas
    ]  # fmt: skip


def lines(bank: Bank, rows: Sequence[PracticalSheet]) -> list[dict[str, object]]:
    """The practicals of a list: who, what, on which specimen, how it stands."""
    return [
        {
            "id": row.id, "person": _named(row.person),
            "title": bank.practicals[row.checklist_id].practical.title
            if row.checklist_id in bank.practicals else row.checklist_id,
            "level": row.level, "specimen": row.specimen.code, "state": _brief(row),
            "running": row.closed_at is None and not row.void_reason,
        }
        for row in rows
    ]  # fmt: skip


def offered(bank: Bank) -> list[tuple[str, str]]:
    """Every checklist to choose from, by level and title."""
    found = sorted(bank.practicals.values(), key=lambda e: (e.practical.level, e.practical.title))
    return [
        (entry.id, _("Level %(level)s: %(title)s", level=entry.practical.level, title=entry.practical.title))
        for entry in found
    ]


def cautions(bank: Bank, checklist: Practical) -> list[str]:
    """What can hurt in this work."""
    return [bank.cautions[one].text for one in checklist.cautions if one in bank.cautions]


def plain(amount: Fraction) -> str:
    """An amount cut after one decimal, never rounded up."""
    tenths = int(10 * amount)
    return f"{tenths // 10}.{tenths % 10}" if tenths % 10 else str(tenths // 10)


def percent(share: Fraction) -> str:
    """A share in percent, cut after one decimal."""
    return plain(100 * share)


def _rows(held: Held, area: Area, by_id: int, apart: Mapping[str, Difference]) -> Iterator[Row]:
    places = {f"{KNOWN}{number}": one for number, one in enumerate(specimens.known(held.row.specimen), 1)}
    for point in held.sheet.points:
        if point.area == area:
            words = tuple(word for word in SHARES if point.takes(word))
            place = _place(places[point.id]) if point.known else ""
            yield _row(held, by_id, apart, point.id, point.text, point.marks, point.critical, place, words)
    if area == "detection":
        sheet = held.sheet
        text = _(
            "False calls: things reported that are not there. Each costs %(marks)s, more than %(most)s fail the "
            "practical.",
            marks=sheet.false_call,
            most=sheet.most_false_calls,
        )
        counts = tuple(str(n) for n in range(sheet.most_false_calls + 3))
        yield _row(held, by_id, apart, FALSE_CALLS, text, 0, False, "", counts)


def _row(
    held: Held, by_id: int, apart: Mapping[str, Difference], point: str, text: str, marks: int, critical: bool,
    place: str, words: tuple[str, ...],
) -> Row:  # fmt: skip
    both = tuple(one[point] for one in held.marks.values()) if held.all_done else ()
    grave = point in apart and apart[point].grave
    return Row(
        point, text, marks, critical, place, words, held.marks[by_id].get(point, ""), both,
        point in held.open_points(by_id), point in apart, grave,
    )  # fmt: skip


def _named(person: Person) -> str:
    return f"{person.works_number} {person.name}"


def _place(one: Known) -> str:
    return _(
        "%(x)s mm from the left, %(y)s mm from below, %(length)s mm long", x=one.x, y=one.y, length=one.length
    )


def _state(held: Held, by_id: int) -> str:
    if held.row.void_reason:
        return "void"
    if not held.running:
        return "closed"
    if held.all_done:
        return "settling"
    return "waiting" if held.examiner(by_id).done_at else "marking"


def _brief(row: PracticalSheet) -> str:
    if row.void_reason:
        return _("void")
    if row.closed_at is None:
        return _("being marked")
    return _("passed") if (row.score or {}).get("passed") else _("not passed")


def _examiners(held: Held) -> Iterator[tuple[str, str]]:
    for one in held.row.examiners:
        yield _named(one.person), _("marks stand") if one.done_at else _("still marking")


def _shares(found: Outcome) -> Iterator[tuple[str, str, str]]:
    """Each area, then specimen and instruction, with what was reached and what of how many hundredths."""
    for area, weight in found.weights.items():
        yield _(AREA_WORDS[area]), plain(found.reached[area]), _("of %(weight)s", weight=weight)
    for name, part in (
        (N_("Specimen altogether"), found.specimen),
        (N_("Instruction altogether"), found.instruction),
    ):
        if part is not None:
            yield _(name), percent(part[0] / part[1]), "%"
