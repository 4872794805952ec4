"""The first answers of many people are found in the index alone: whether help was shown stands in it too."""

from __future__ import annotations

from alembic import op

revision = "0022"
down_revision = "0021"

FOUND_BY = ["person_id", "drill_id", "find"]


def upgrade() -> None:
    op.create_index(op.f("ix_exercise_person_id_drill_id_find_aided"), "exercise", [*FOUND_BY, "aided"])
    op.drop_index(op.f("ix_exercise_person_id_drill_id_find"), "exercise")


def downgrade() -> None:
    op.create_index(op.f("ix_exercise_person_id_drill_id_find"), "exercise", FOUND_BY)
    op.drop_index(op.f("ix_exercise_person_id_drill_id_find_aided"), "exercise")
