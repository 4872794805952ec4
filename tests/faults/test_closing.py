"""The program dies before any single step of the close of a sealed examination: all of it is done, or none."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest
from sqlalchemy import func, select

from tests.faults.classroom import opened
from tests.faults.dying import BANK, MOST_STEPS, count_down, died
from tests.make import NOW, PASSPHRASE, make_class, make_people
from tests.sitting import CODE, DRILL
from trainer.drills.shelf import Shelf
from trainer.examinations.composition import composed
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import papers, scoring_papers, seals, sittings
from trainer.services.keeping import passphrase_keys
from trainer.services.keeping.sealed_papers import SEALED
from trainer.services.proving import ledger_check
from trainer.store.migrations import migrate
from trainer.store.models import Edition, Entry, Paper, PaperAnswer, SealedEdition, Sitting

pytestmark = [
    pytest.mark.slow,
    pytest.mark.skipif(sys.platform == "win32", reason="needs signals"),
]


def test_death_before_every_step_of_a_close(tmp_path: Path) -> None:
    """After each death the examination is open, sealed, unscored and its chain whole; the last time it closes."""
    instance, shelf = tmp_path / "instance", Shelf.of_folder(BANK)
    key, by_id, number = handed_in(instance, shelf)

    def close(step: int) -> None:
        database = opened(instance)
        database.keyring.hold(number, key)
        count_down(database, step)
        with database.writing() as session:
            scoring_papers.close(session, shelf, by_id, number, NOW)
        database.close()

    step = 0
    while died(lambda at=step: close(at)):
        assert looked(instance) == ("open", 5, 4, 0, 0, True), f"died before step {step}"
        step += 1
        assert step < MOST_STEPS
    assert step > 10
    assert looked(instance) == ("closed", 0, 0, 4, 1, True)


def handed_in(instance: Path, shelf: Shelf) -> tuple[bytes, int, int]:
    """A sealed examination whose one paper is handed in; its data key, the instructor, its number."""
    instance.mkdir()
    database = opened(instance)
    migrate(database)
    new = passphrase_keys.fresh(PASSPHRASE, PASSPHRASE)
    with database.writing() as session:
        people = make_people(session)
        questions = composed(shelf.bank.papers["small-1"].plan, 3, {"coil": 1}, [DRILL])
        wanted = Plan((Line(DRILL, "I", 2),), 50, "general", questions=questions)
        taught = make_class(session, people.ian, people.tess).id
        made = sittings.plan(session, shelf, people.ian, taught, "Coils", "I", 30, wanted, CODE, NOW)
        seals.seal(session, people.ian, made.id, new, NOW)
        sittings.open_sitting(session, people.ian, made.id, NOW)
        paper = papers.start(session, shelf, people.tess, CODE, iter(range(1, 99)).__next__, NOW)
        papers.hand_in(session, people.tess, paper.id, NOW)
        found = (new.key, people.ian, made.id)
    database.close()
    return found


def looked(instance: Path) -> tuple[str, int, int, int, int, bool]:
    """State; items and editions that are sealed; editions kept; scores with their entries; whether the chain holds."""
    database = opened(instance)
    with database.reading() as session:
        rows = list(session.scalars(select(PaperAnswer)))
        entries = session.scalar(select(func.count()).select_from(Entry)) or 0
        scored = [paper for paper in session.scalars(select(Paper)) if paper.score is not None]
        assert len(scored) == entries
        assert all((row.verdict is None) == (SEALED in row.exercise) for row in rows)
        found = (
            session.scalars(select(Sitting.state)).one(), sum(SEALED in row.exercise for row in rows),
            len(session.scalars(select(SealedEdition)).all()),
            len(session.scalars(select(Edition)).all()), entries,
            ledger_check.walk(session).broken is None,
        )  # fmt: skip
    database.close()
    return found
