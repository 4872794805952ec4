"""Find a person's exercises by drill and by time without reading all of them."""

from __future__ import annotations

from alembic import op

revision = "0011"
down_revision = "0010"


def upgrade() -> None:
    op.create_index(op.f("ix_exercise_person_id_drill_id"), "exercise", ["person_id", "drill_id"])
    op.create_index(op.f("ix_exercise_person_id_offered_at"), "exercise", ["person_id", "offered_at"])
    op.drop_index(op.f("ix_exercise_person_id"), "exercise")


def downgrade() -> None:
    op.create_index(op.f("ix_exercise_person_id"), "exercise", ["person_id"])
    op.drop_index(op.f("ix_exercise_person_id_offered_at"), "exercise")
    op.drop_index(op.f("ix_exercise_person_id_drill_id"), "exercise")
