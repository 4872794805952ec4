"""Count how often each find of a drill came to a person from an index alone: every page of practice asks for it."""

from __future__ import annotations

from alembic import op

revision = "0019"
down_revision = "0018"


def upgrade() -> None:
    op.create_index(
        op.f("ix_exercise_person_id_drill_id_find"), "exercise", ["person_id", "drill_id", "find"]
    )
    op.drop_index(op.f("ix_exercise_person_id_drill_id"), "exercise")


def downgrade() -> None:
    op.create_index(op.f("ix_exercise_person_id_drill_id"), "exercise", ["person_id", "drill_id"])
    op.drop_index(op.f("ix_exercise_person_id_drill_id_find"), "exercise")
