"""The demo scenario: the invented wheel-and-axle shop of the Tarn Valley narrow-gauge railway.

Everything is made through the same services as real records, from fixed seeds, relative to the day on
which it is filled. Nothing here is about real people.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta
from decimal import Decimal
from pathlib import Path

from sqlalchemy.orm import Session

from trainer.drills.shelf import Shelf
from trainer.formulas.writing import plain_text
from trainer.practice.offer import Line
from trainer.services.admitting import accounts
from trainer.services.admitting.passphrases import hashed
from trainer.services.inventing import demo_practicals
from trainer.services.keeping.moments import local_day
from trainer.services.practising import practice
from trainer.services.qualifying import countersigning, ledger, practices, schemes
from trainer.services.teaching import assignments, class_hours, classes, meetings, packs, sets
from trainer.services.teaching.meetings import MeetingPlan, Noted
from trainer.shopwork.pack import Pack
from trainer.store import Database
from trainer.store.models import Exercise, Person

PASSPHRASE = "axle hook coil sleeve"
HOUSE = "Tarn Valley, wheel-and-axle shop"
OTHER_HOUSE = "Hook and Chain Works"
TRAINEES = (
    "Anna", "Boris", "Clara", "Dario", "Edda", "Frank", "Tess", "Gita", "Hans", "Iris", "Jonas", "Kaya",
)  # fmt: skip
SET_DRILLS = (
    "coil-low-fill-wall", "coil-high-fill", "prod-current-asme", "conductor-offset", "duty-other-current", "convert-length",
)  # fmt: skip
DAYS = (19, 17, 13, 12, 9, 6, 5, 2, 1, 0)  # days before today on which people practised
MEETINGS = (
    (20, "Current, field and safety", "theory"), (18, "Coil and cable wrap", "theory"),
    (16, "Prods, contacts and central conductor", "theory"), (11, "Bath, light and demagnetization", "practical"),
)  # fmt: skip
PACKS = (
    Pack("Pack A", {"rated": 3600.0, "duty": 0.25, "period": 240.0, "distance": 10.0}, "4/0 AWG"),
    Pack("Pack B", {"rated": 1200.0, "duty": 0.2, "period": 240.0, "distance": 6.0}, "95 mm2"),
)


@dataclass(frozen=True, slots=True)
class Crew:
    """The ids of those the scenario needs again."""

    ian: int
    emma: int
    vera: int
    tess: int
    trainees: tuple[int, ...]


def fill(database: Database, shelf: Shelf, now: datetime) -> Iterator[str]:
    """Fill an empty instance; yield lines to print. Does nothing if anybody is there already."""
    with database.reading() as session:
        if accounts.anybody(session):
            return
    secret = hashed(PASSPHRASE)  # takes its time, so no writing transaction is open yet
    with database.writing() as session:
        crew = _people(session, secret, now - timedelta(days=30))
        class_id = _class(session, crew, now - timedelta(days=25))
        given = _set(session, shelf, crew, class_id, now - timedelta(days=20))
        _practise(session, shelf, crew, given, now)
        _records(session, crew, class_id, now)
        _practices(session, crew, now)
        demo_practicals.fill(session, shelf.bank, crew.ian, crew.emma, crew.trainees, now)
        for plate in PACKS:
            packs.add(session, crew.ian, plate, now)
    yield "The demo shop is filled: invented people, nothing real."
    yield f"Sign in as TV-07 (Tess, trainee), TV-00 (Ian, instructor), TV-90 (Emma, employer and Level III), TV-91 (Vera, Level III) or HK-03 (Omar, of another employer); passphrase: {PASSPHRASE}"


def _people(session: Session, secret: str, now: datetime) -> Crew:
    house = accounts.organisation(session, HOUSE, now).id

    def enter(number: str, name: str, roles: set[str], home: int = house) -> int:
        person: Person = accounts.add_person(session, home, number, name, frozenset(roles), now)
        person.passphrase_hash = secret
        return person.id

    ian = enter("TV-00", "Ian", {"instructor", "examiner"})
    emma = enter("TV-90", "Emma", {"employer", "level_iii"})
    vera = enter("TV-91", "Vera", {"level_iii"})
    trainees = tuple(enter(f"TV-{i:02d}", name, {"trainee"}) for i, name in enumerate(TRAINEES, 1))
    enter("HK-03", "Omar", {"trainee"}, accounts.organisation(session, OTHER_HOUSE, now).id)
    return Crew(ian, emma, vera, trainees[6], trainees)


def _class(session: Session, crew: Crew, now: datetime) -> int:
    first = local_day(now) + timedelta(days=5)
    made = classes.make(session, crew.ian, "MT Level I", "I", first, now)
    classes.add_members(session, crew.ian, made.id, crew.trainees, now)
    return made.id


def _set(session: Session, shelf: Shelf, crew: Crew, class_id: int, now: datetime) -> int:
    chosen = [(drill, None) for drill in SET_DRILLS if drill in shelf.bank.drills]
    made = sets.make(session, shelf, crew.ian, "First currents", chosen, now)
    due = local_day(now) + timedelta(days=24)
    return assignments.give(session, crew.ian, made.id, now, class_id=class_id, due_on=due).id


def _practise(session: Session, shelf: Shelf, crew: Crew, given: int, now: datetime) -> None:
    """Let everybody practise on ten days, today among them: Tess most, the others enough for statistics."""
    lines = practice.lines_of(shelf, [(d, None) for d in SET_DRILLS if d in shelf.bank.drills])
    for day in DAYS:
        for place, person in enumerate((crew.tess, *(p for p in crew.trainees if p != crew.tess))):
            for turn in range(6 if person == crew.tess else 3 if place < 7 else 1):
                moment = now - timedelta(days=day, minutes=50 - 7 * turn - place)
                _one_answer(session, shelf, person, lines, given, day * 100 + place * 10 + turn, moment)


def _one_answer(
    session: Session,
    shelf: Shelf,
    person: int,
    lines: Sequence[Line],
    given: int,
    seed: int,
    moment: datetime,
) -> None:
    offer = practice.next_offer(session, shelf, person, lines, moment)
    if offer is None:
        return
    row = practice.offer(session, shelf, person, offer.line, offer.reason, seed, moment, given)
    practice.take(session, shelf, person, row.id, _typed(shelf, row, seed), None, moment)


def _typed(shelf: Shelf, row: Exercise, seed: int) -> str:
    """Type the right answer mostly, and one of the drill's slips now and then."""
    mould, drawn = shelf.mould(row.drill_id, row.find), shelf.draw(row.drill_id, row.seed, row.find)
    quantity = mould.read.drill.quantities[row.find]
    slipped = seed % 7 == 3 and drawn.slips
    value = drawn.slips[seed % len(drawn.slips)].value if slipped else drawn.answer
    return f"{plain_text(value, 6)} {'' if quantity.unit == '1' else quantity.unit}".strip()


def _records(session: Session, crew: Crew, class_id: int, now: datetime) -> None:
    """Give the ledger its facts: hours confirmed, experience, examinations, vision; Emma countersigns most."""
    today = local_day(now)
    for days, subject, content in MEETINGS:
        held = today - timedelta(days=days)
        plan = MeetingPlan(held, time(8, 0), Decimal(4), "I", content, "classroom", subject)
        meeting = meetings.add(session, crew.ian, class_id, plan, now)
        away = crew.trainees[days % 5]
        notes = [
            Noted(person, "absent" if person == away != crew.tess else "present") for person in crew.trainees
        ]
        meetings.note_attendance(session, crew.ian, meeting.id, notes, now)
        if days > 12:
            class_hours.confirm(session, crew.ian, meeting.id, now)
    for person in (crew.tess, *crew.trainees[:4]):
        _facts(session, crew, person, today, now)
    waiting = [
        row.id for row in countersigning.waiting(session, crew.emma) if row.person_id != crew.trainees[3]
    ]
    countersigning.countersign(session, waiting, crew.emma, now)
    run = {"method": "MT", "from": _iso(today, 6), "to": _iso(today, 2), "shifts": "3", "hours_each": "6.5"}
    ledger.enter(session, crew.tess, "experience", run, crew.tess, "trainee", now)


def _facts(session: Session, crew: Crew, person: int, today: date, now: datetime) -> None:
    """Enter one trainee's facts: Tess's near vision is about to run out and her experience is short."""
    near = 352 if person == crew.tess else 120
    shifts = "8" if person == crew.tess else "12"
    own = [
        ("experience", {"method": "MT", "from": _iso(today, 40), "to": _iso(today, 24), "shifts": shifts, "hours_each": "7.5"}),
        ("experience", {"method": "PT", "from": _iso(today, 90), "to": _iso(today, 70), "shifts": "10", "hours_each": "8"}),
        ("vision", {"test": "near", "result": "pass", "chart": "jaeger_2", "distance_cm": "31", "date": _iso(today, near)}),
        ("vision", {"test": "colour", "result": "pass", "date": _iso(today, 400)}),
    ]  # fmt: skip
    for kind, body in own:
        ledger.enter(session, person, kind, body, person, "trainee", now)
    marks = {"general": ("34", "40"), "specific": ("17", "20")}
    for part, (right, of) in marks.items():
        body = {
            "part": part,
            "method": "MT",
            "level": "I",
            "date": _iso(today, 8),
            "right": right,
            "of": of,
            "paper": f"{part}-A",
        }
        ledger.enter(session, person, "examination", body, crew.ian, "examiner", now)


def _practices(session: Session, crew: Crew, now: datetime) -> None:
    """Let one revision of a written practice be in force, and another wait for Emma's approval."""
    scheme, today = schemes.known(Path("none of its own"))[schemes.FIRST], local_day(now)
    first = {
        "practical.checkpoints": ("12", "Our axles have more places to examine than the edition asks for."),
        "interruption.months": ("12", "Without a year's work in the method the eye is out of practice."),
    }
    begun = today - timedelta(days=200)
    row = practices.draft(session, crew.emma, scheme, "1", begun, first, now - timedelta(days=20))
    practices.approve(session, crew.vera, row.id, now - timedelta(days=19))
    second = {**first, "vision_near.months": ("6", "Two near misses at the draw hooks last winter.")}
    practices.draft(session, crew.vera, scheme, "2", today + timedelta(days=30), second, now)


def _iso(today: date, days: int) -> str:
    return (today - timedelta(days=days)).isoformat()
