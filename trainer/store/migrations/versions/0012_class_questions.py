"""Questions to a whole class, and the place of each person in them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"


def upgrade() -> None:
    op.create_table(
        "class_question",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("class_id", sa.Integer(), nullable=False),
        sa.Column("asked_by_id", sa.Integer(), nullable=False),
        sa.Column("drill_id", sa.String(length=200), nullable=False),
        sa.Column("find", sa.String(length=40), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("shown_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["asked_by_id"], ["person.id"], name=op.f("fk_class_question_asked_by_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["class_id"], ["taught_class.id"], name=op.f("fk_class_question_class_id_taught_class")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_class_question")),
    )
    op.create_index(op.f("ix_class_question_class_id"), "class_question", ["class_id"])
    op.create_table(
        "class_place",
        sa.Column("question_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("exercise_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["exercise_id"], ["exercise.id"], name=op.f("fk_class_place_exercise_id_exercise")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_class_place_person_id_person")),
        sa.ForeignKeyConstraint(
            ["question_id"], ["class_question.id"], name=op.f("fk_class_place_question_id_class_question")
        ),
        sa.PrimaryKeyConstraint("question_id", "person_id", name=op.f("pk_class_place")),
        sa.UniqueConstraint("exercise_id", name=op.f("uq_class_place_exercise_id")),
    )


def downgrade() -> None:
    op.drop_table("class_place")
    op.drop_table("class_question")
