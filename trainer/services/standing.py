"""The standing of a person on a day by a scheme, judged from the ledger as it is.

"Prerequisites met on this date on these records": whether to certify is decided by the Level III and the
employer. The trainee sees the same as the employer.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date

from sqlalchemy.orm import Session

from trainer.languages import N_, _
from trainer.qualification import History, Level, Revisions, Row, Scheme, Standing, Verdict
from trainer.qualification import standing as judge
from trainer.qualification.counting import counting_on
from trainer.qualification.entries import Application, Certificate
from trainer.services import accounts, histories, practices, schemes
from trainer.store.models import Person

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

    def row(self, identity: str) -> Row | None:
        """The row of this name, or None where the scheme has none."""
        return next((row for row in self.standing.prerequisites if row.id == identity), None)

    @property
    def works(self) -> bool:
        """Whether certificate and near vision are current, as far as the records tell."""
        held, vision = self.row("certificate_current"), self.row("vision_near")
        return (
            held is not None
            and held.verdict is Verdict.MET
            and (vision is None or vision.verdict is Verdict.MET)
        )

    @property
    def may_work(self) -> str:
        """What this person may do today as far as the records tell."""
        held = self.row("certificate_current")
        if held is None:
            return _("under supervision: no certificate on record")
        level = self.standing.level
        if held.verdict is not Verdict.MET:
            return _("under supervision: Level %(level)s certificate ran out", level=level)
        vision = self.row("vision_near")
        if vision is not None and vision.verdict is Verdict.EXPIRED:
            return _("not Level %(level)s work: near vision ran out", level=level)
        if vision is not None and vision.verdict is not Verdict.MET:
            return _("not Level %(level)s work: near vision not met", level=level)
        return _("Level %(level)s work: certificate and near vision current", level=level)


def of(
    session: Session, person_id: int, scheme_id: str, level: str, on: date, known: Mapping[str, Scheme]
) -> Standing:
    """Judge the ledger of a person on a day, by the written practice of their house where it has one.

    ``known`` are the schemes (services/schemes.known). Raises NotFound for an unknown scheme or level,
    Refused for a level that the scheme does not judge. Who may see it is for the caller: themselves, or
    services/entitlements.overseen.
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


def of_house(session: Session, by_id: int, on: date, known: Mapping[str, Scheme]) -> list[Placed]:
    """Everybody of the asker's house who has a record or is a trainee, by who is due first."""
    people = accounts.people_of(session, by_id, with_left=False)
    read = histories.histories_of(session, [person.id for person in people])
    own = practices.approved(session, people[0].organisation_id, known) if people else {}
    kept = [person for person in people if read[person.id].entries or "trainee" in person.roles]
    placed = [_placed(person, read[person.id], on, known, own) for person in kept]
    return sorted(
        placed, key=lambda one: (one.dues[0].until if one.dues else date.max, one.person.works_number)
    )


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
