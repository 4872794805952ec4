"""Records of every earlier version come up to date with everything that was in them."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from alembic import command
from sqlalchemy import MetaData, inspect, select

from tests.make import NOW
from tests.stores import Stock
from trainer.store import Database
from trainer.store.migrations import FOLDER, _config, head, migrate, taken
from trainer.store.models import Answer, QuestionAnswer, SkillState

STEPS = sorted(file.name[:4] for file in (FOLDER / "versions").glob("[0-9]*.py"))
HASH, PREV = "a" * 64, "0" * 64
# One row for each of the tables that hold what nobody may lose, in the columns of the first step that has it.
ROWS: dict[str, dict[str, Any]] = {
    "organisation": {"id": 1, "name": "Tarn Valley", "created_at": NOW},
    "person": {"id": 7, "organisation_id": 1, "works_number": "TV-07", "name": "Tess", "created_at": NOW},
    "person_role": {"person_id": 7, "role": "trainee", "granted_at": NOW},
    "entry": {
        "seq": 1, "id": "e1", "person_id": 7, "kind": "vision", "body": {"date": "2026-11-10"},
        "entered_by_id": 7, "entered_role": "trainee", "entered_at": NOW,
    },
    "countersignature": {"id": 1, "entry_id": "e1", "person_id": 7, "role": "employer", "signed_at": NOW},
    "link": {"seq": 0, "time": "2026-11-25", "event": {"what": "entered"}, "prev": PREV, "hash": HASH},
    "edition": {"hash": HASH, "drill_id": "coil", "content": "{}", "kept_at": NOW},
    "exercise": {
        "id": 3, "person_id": 7, "edition_hash": HASH, "drill_id": "coil", "family": "coil", "seed": 5, "find": "I",
        "snapshot": {"given": {"L": "10"}}, "offered_at": NOW, "aided": False, "reason": "new",
    },
    "answer": {
        "id": 4, "exercise_id": 3, "person_id": 7, "text": "4.95 kA", "verdict": "right", "answered_at": NOW,
    },
}  # fmt: skip


@pytest.fixture
def old(stock: Stock, tmp_path: Path) -> Iterator[Database]:
    """A store of the kind that the run chose, without a table."""
    address = stock.bare(tmp_path)
    database = Database(address)
    yield database
    database.close()
    stock.done_with(address)


@pytest.mark.parametrize("step", STEPS)
def test_records_of_every_step_come_along(old: Database, step: str) -> None:
    """What a store of that step held is there to the letter after all later steps."""
    with old.connection() as connection:
        command.upgrade(_config(connection), step)
        known = set(inspect(connection).get_table_names())
        tables = MetaData()
        tables.reflect(connection)
        for name, row in ROWS.items():
            if name in known:
                connection.execute(tables.tables[name].insert(), row)
        before = content(connection, known)
    migrate(old)
    assert taken(old) == head()
    with old.connection() as connection:
        after = content(connection, known)
    assert before
    assert {
        name: [_without_new(row, before[name][0]) for row in rows] for name, rows in after.items()
    } == before


@pytest.mark.parametrize(("wrong", "first_right"), [({1, 2, 4}, True), ({3}, False)])
def test_first_answers_are_marked_on_the_way(old: Database, wrong: set[int], first_right: bool) -> None:
    """Records from before said so of none: the earliest without help to each find, and whether that to a family was right."""
    with old.connection() as connection:
        command.upgrade(_config(connection), "0022")
        tables = MetaData()
        tables.reflect(connection)
        names = ("organisation", "person", "edition")
        for name in names:
            connection.execute(tables.tables[name].insert(), ROWS[name])
        asked = [("I", True), ("I", False), ("I", False), ("N", False)]
        for at, (find, aided) in enumerate(asked, 1):
            exercise = {**ROWS["exercise"], "id": at, "find": find, "aided": aided}
            connection.execute(tables.tables["exercise"].insert(), exercise)
        for at in (1, 3, 2, 4):  # the third exercise is answered before the second
            verdict = "wrong" if at in wrong else "right"
            answer = {
                **ROWS["answer"],
                "id": {1: 1, 3: 2, 2: 3, 4: 4}[at],
                "exercise_id": at,
                "verdict": verdict,
            }
            connection.execute(tables.tables["answer"].insert(), answer)
        state = {
            "person_id": 7, "family": "coil", "state": "begun", "theta": 0.2, "answers": 3, "data": {}, "changed_at": NOW,
        }  # fmt: skip
        connection.execute(tables.tables["skill_state"].insert(), state)
        for at, question in enumerate(("a", "a", "b"), 1):
            sheet = {
                "id": at, "person_id": 7, "edition_hash": HASH, "question_id": question, "topic": "coil", "seed": 1,
                "snapshot": {}, "reason": "new", "asked_at": NOW,
            }  # fmt: skip
            connection.execute(tables.tables["question_sheet"].insert(), sheet)
            given = {
                "id": at,
                "sheet_id": at,
                "person_id": 7,
                "letter": "A",
                "verdict": "right",
                "answered_at": NOW,
            }
            connection.execute(tables.tables["question_answer"].insert(), given)
    migrate(old)
    with old.reading() as session:
        assert set(session.scalars(select(Answer.exercise_id).where(Answer.is_first))) == {3, 4}
        assert set(session.scalars(select(QuestionAnswer.sheet_id).where(QuestionAnswer.is_first))) == {1, 3}
        assert session.scalar(select(SkillState.first_right)) is first_right


def content(connection: Any, known: set[str]) -> dict[str, list[dict[str, Any]]]:
    """Every row of those tables, with values as text."""
    tables = MetaData()
    tables.reflect(connection)
    return {
        name: [
            json.loads(json.dumps(dict(row), default=str))
            for row in connection.execute(select(table)).mappings()
        ]
        for name, table in tables.tables.items()
        if name in ROWS and name in known
    }


def _without_new(row: dict[str, Any], before: dict[str, Any]) -> dict[str, Any]:
    """A row in the columns that it had before."""
    return {name: row.get(name) for name in before}
