"""Builders of ledger entries, with defaults that a scheme counts."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy.orm import Session

from tests.make import NOW, make_person
from trainer.services.qualifying import countersigning, ledger
from trainer.store.models import Entry

TRAINING = {"method": "MT", "date": "2026-11-24", "hours": "4", "mode": "classroom", "level": "I"}
EXPERIENCE = {"method": "MT", "date": "2026-11-20", "hours": "7.5", "task": "Draw hooks"}
VISION = {"date": "2026-11-10", "test": "near", "result": "pass", "chart": "jaeger_2", "distance_cm": "35"}
GENERAL = {"part": "general", "method": "MT", "level": "I", "date": "2026-11-23", "right": "36", "of": "40"}
SPECIFIC = {"part": "specific", "method": "MT", "level": "I", "date": "2026-11-23", "right": "17", "of": "20"}
PRACTICAL = {
    "part": "practical",
    "method": "MT",
    "level": "I",
    "date": "2026-11-24",
    "specimens": [{"specimen": "P4", "checkpoints": "12", "marks": "22", "of": "24"}],
}
CERTIFICATE = {"method": "MT", "level": "I", "scheme": "SNT-2016-A1", "date": "2026-11-25"}
BODIES: dict[str, dict[str, object]] = {
    "training": {**TRAINING},
    "practice": {"date": "2026-11-20", "hours": "1"},
    "experience": {**EXPERIENCE},
    "work": {"method": "MT", "date": "2026-11-20"},
    "examination": {**GENERAL},
    "vision": {**VISION},
    "certificate": {**CERTIFICATE},
    "employment": {"event": "began", "employer": "Tarn Valley", "date": "2026-01-07"},
    "absence": {"reason": "holiday", "from": "2026-12-20", "to": "2027-01-03"},
    "education": {"field": "engineering", "completed_years": "2", "date": "2020-07-01"},
    "application": {"scheme": "SNT-2016-A1", "level": "I", "methods": ["MT"], "date": "2026-11-25"},
    "decision": {"what": "May examine draw hooks on his own", "date": "2026-11-25"},
}


def entered(
    session: Session,
    person_id: int,
    by_id: int,
    role: str,
    kind: str = "experience",
    now: datetime = NOW,
    **changes: object,
) -> Entry:
    """One entry of a kind with its usual fields, some of them changed."""
    return ledger.enter(session, person_id, kind, {**BODIES[kind], **changes}, by_id, role, now)


def verified(
    session: Session,
    person_id: int,
    by_id: int,
    role: str,
    signer: int,
    kind: str = "experience",
    **changes: object,
) -> Entry:
    """One entry that has been countersigned."""
    row = entered(session, person_id, by_id, role, kind, **changes)
    countersigning.countersign(session, [row.id], signer, NOW)
    return row


def make_level_iii(session: Session, number: str = "TV-91") -> int:
    """A Level III of the house, who examines too."""
    return make_person(session, number, "Level III of the house", {"level_iii", "examiner"}).id
