"""The steps are numbered without a gap, and lead exactly to the tables of the models."""

from __future__ import annotations

import ast
from typing import Any

from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from sqlalchemy import inspect

from trainer.store import Database
from trainer.store.migrations import FOLDER, _config, head, migrate, pending, taken
from trainer.store.models import Model


def steps() -> list[dict[str, Any]]:
    """Name, revision and predecessor of every step, read from the files."""
    found = []
    for file in sorted((FOLDER / "versions").glob("*.py")):
        values = {
            node.targets[0].id: ast.literal_eval(node.value)
            for node in ast.parse(file.read_text(encoding="utf-8")).body
            if isinstance(node, ast.Assign) and isinstance(node.targets[0], ast.Name)
        }
        found.append({"name": file.name, **values})
    return found


def test_steps_are_numbered_and_linear() -> None:
    """Step NNNN has the revision NNNN and follows the one before it."""
    before = None
    for place, step in enumerate(steps(), 1):
        assert step["name"].startswith(f"{place:04}_"), step["name"]
        assert step["revision"] == f"{place:04}", step["name"]
        assert step["down_revision"] == before, step["name"]
        before = step["revision"]
    assert head() == before


def test_models_equal_migrations(database: Database) -> None:
    """A column changed in the models without a step is seen here."""
    with database.connection() as connection:
        context = MigrationContext.configure(connection, opts={"compare_type": True})
        assert compare_metadata(context, Model.metadata) == []


def test_migrating_again_does_nothing(database: Database) -> None:
    """A start with nothing to do takes no step."""
    assert pending(database) == ()
    assert migrate(database) == ()
    assert taken(database) == head()


def test_steps_lead_back_to_an_empty_store(database: Database) -> None:
    """Every step can be undone, so that one that failed on a copy can be tried again."""
    with database.connection() as connection:
        command.downgrade(_config(connection), "base")
        assert inspect(connection).get_table_names() == ["alembic_version"]
