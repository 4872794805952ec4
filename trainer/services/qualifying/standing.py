"""The standing of a person on a day by a scheme, judged from the ledger as it is.

"Prerequisites met on this date on these records": whether to certify is decided by the Level III and the
employer. The trainee sees the same as the employer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date

from sqlalchemy import Select, exists, or_, select
from sqlalchemy.orm import Session

from trainer.languages import N_, _
from trainer.qualification import History, Level, Revisions, Row, Scheme, Standing
from trainer.qualification import standing as judge
from trainer.qualification.counting import counting_on
from trainer.qualification.entries import Application, Certificate
from trainer.services.admitting import accounts
from trainer.services.qualifying import histories, practices, schemes
from trainer.services.qualifying.outlines import Outline
from trainer.store.models import Entry, Person, PersonRole

TITLES = {
    "training": N_("Training"),
    "training_practical_share": N_("Practical share of training"),
    "experience_method": N_("Experience, MT"),
    "experience_total": N_("Experience, all NDT"),
    "experience_sum_reduced": N_("Experience, MT and PT together"),
    "general": N_("General examination"),
    "specific": N_("Specific examination"),
    "practical": N_("Practical examination"),
    "practical_instruction": N_("Practical, written instruction"),
    "composite": N_("Composite grade"),
    "retest": N_("Retest"),
    "recert_practical": N_("Recertification, practical"),
    "recert_retest": N_("Recertification, retest"),
    "vision_near": N_("Near vision"),
    "vision_colour": N_("Colour vision"),
    "vision_before_exam": N_("Near vision before the examination"),
    "training_before_exam": N_("Training before the examination"),
    "exam_results_current": N_("Examination results"),
    "certificate_current": N_("Certificate"),
    "continued_performance": N_("Continued work in MT"),
    "no_significant_interruption": N_("No significant interruption"),
    "reinstatement_without_exam": N_("Reinstatement without examination"),
}


@dataclass(frozen=True, slots=True)
class Due:
    """One prerequisite of one person that runs out on a day."""

    person: Person
    row: Row
    until: date
    scheme: Scheme
    level: Level


@dataclass(frozen=True, slots=True)
class Placed:
    """One person of a house with their usual standing; ``certificates`` are those that count, newest last."""

    person: Person
    history: History
    standing: Standing
    certificates: tuple[Certificate, ...]

    @property
    def dues(self) -> list[Due]:
        """Everything that runs out or has run out, first to last."""
        judged = self.standing
        found = [
            Due(self.person, row, row.until, judged.scheme, judged.level)
            for row in judged.prerequisites
            if row.until is not None
        ]
        return sorted(found, key=lambda due: (due.until, due.row.id))

    @property
    def outline(self) -> Outline:
        """What the lists of a house show of it."""
        return Outline.of(self.person.id, self.standing)


def of(
    session: Session, person_id: int, scheme_id: str, level: str, on: date, known: Mapping[str, Scheme]
) -> Standing:
    """Judge the ledger of a person on a day, by the written practice of their house where it has one.

    ``known`` are the schemes (services/qualifying/schemes.known). Raises NotFound for an unknown scheme or level,
    Refused for a level that the scheme does not judge. Who may see it is for the caller: themselves, or
    services/admitting/entitlements.overseen.
    """
    scheme, wanted = schemes.chosen(dict(known), scheme_id, level)
    person = session.get(Person, person_id)
    own = practices.approved(session, person.organisation_id, known) if person else {}
    return judge(histories.history_of(session, person_id), scheme, wanted, on, own.get(scheme.id))


def usual(
    history: History, on: date, known: Mapping[str, Scheme], own: Mapping[str, Revisions] | None = None
) -> tuple[str, str]:
    """Scheme and level by which somebody is usually judged.

    Those of the highest certificate on record, else of the newest application, else Level I of the edition
    on which the house's newest written practice in force builds, else of the first scheme.
    """
    counting = counting_on(history, on)
    certificates = [one for one in counting.of(Certificate) if one.method == "MT" and one.scheme in known]
    if certificates:
        best = max(certificates, key=lambda one: (one.level, one.first))
        return best.scheme, str(best.level)
    applied = counting.newest(one for one in counting.of(Application) if one.scheme in known)
    if applied is not None and "MT" in applied.methods:
        return applied.scheme, str(applied.level)
    scheme = _house_scheme(own or {}, on) or (schemes.FIRST if schemes.FIRST in known else next(iter(known)))
    return scheme, str(min(known[scheme].levels))


def house(by_id: int) -> Select[int]:
    """The question for the ids of everybody of the asker's house who has a record or is a trainee, by works number."""
    recorded = exists().where(Entry.person_id == Person.id)
    everybody = accounts.house(by_id, with_left=False)
    concerned = everybody.where(or_(recorded, Person.role_rows.any(PersonRole.role == "trainee")))
    return concerned.with_only_columns(Person.id)


def of_house(session: Session, by_id: int, on: date, known: Mapping[str, Scheme]) -> list[Placed]:
    """Everybody of the asker's house who has a record or is a trainee, by who is due first."""
    ids = session.scalars(house(by_id)).all()
    home = session.get(Person, by_id)
    own = practices.approved(session, home.organisation_id, known) if home else {}
    placed = placed_of(session, ids, on, known, own)
    return sorted(placed, key=lambda one: (one.outline.first_due, one.person.works_number))


def placed_of(
    session: Session,
    person_ids: Sequence[int],
    on: date,
    known: Mapping[str, Scheme],
    own: Mapping[str, Revisions],
) -> list[Placed]:
    """Each of these people judged by their usual scheme and level, in the same order."""
    read = histories.histories_of(session, person_ids)
    wanted = select(Person)
    if len(person_ids) < accounts.MOST_NAMED:
        wanted = wanted.where(Person.id.in_(person_ids))
    people = {person.id: person for person in session.scalars(wanted)}
    return [_placed(people[one], read[one], on, known, own) for one in person_ids]


def place(
    session: Session,
    person: Person,
    on: date,
    known: Mapping[str, Scheme],
    scheme_id: str = "",
    level: str = "",
) -> Placed:
    """One person judged on a day by a scheme and level, or by their usual ones where nothing is named.

    A level that the scheme does not judge becomes the lowest that it does. Raises NotFound as ``of`` does.
    """
    history = histories.history_of(session, person.id)
    own = practices.approved(session, person.organisation_id, known)
    usual_scheme, usual_level = usual(history, on, known, own)
    return _judged(person, history, scheme_id or usual_scheme, level or usual_level, on, known, own)


def title(row_id: str) -> str:
    """The name of a prerequisite as pages and records show it."""
    specimen = re.fullmatch(r"practical_specimen_(\d+)", row_id)
    if specimen:
        return _("Practical, specimen %(number)s", number=specimen[1])
    return _(TITLES.get(row_id, row_id.replace("_", " ").capitalize()))


def _house_scheme(own: Mapping[str, Revisions], on: date) -> str:
    """The edition on which the newest written practice in force on a day builds, or nothing."""
    in_force = [(found.in_force, name) for name, one in own.items() if (found := one.practice_on(on))]
    return max(in_force)[1] if in_force else ""


def _placed(
    person: Person, history: History, on: date, known: Mapping[str, Scheme], own: Mapping[str, Revisions]
) -> Placed:
    scheme_id, level = usual(history, on, known, own)
    return _judged(person, history, scheme_id, level, on, known, own)


def _judged(
    person: Person,
    history: History,
    scheme_id: str,
    level: str,
    on: date,
    known: Mapping[str, Scheme],
    own: Mapping[str, Revisions],
) -> Placed:
    scheme, wanted = schemes.chosen(dict(known), scheme_id, level)
    if wanted not in scheme.levels:
        wanted = min(scheme.levels)
    certificates = counting_on(history, on).of(Certificate)
    return Placed(
        person, history, judge(history, scheme, wanted, on, own.get(scheme.id)), tuple(certificates)
    )
