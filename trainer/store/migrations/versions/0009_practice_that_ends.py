"""Guidance and hints of an exercise, lessons on one slip, printed sheets, what each person chose for the pages."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"


def upgrade() -> None:
    op.add_column(
        "exercise", sa.Column("guidance", sa.String(length=40), nullable=False, server_default="plain")
    )
    op.add_column("exercise", sa.Column("hints", sa.Integer(), nullable=False, server_default="0"))
    # until now there was one hint: the whole working
    op.execute("UPDATE exercise SET hints = 3 WHERE aided")
    op.add_column("answer", sa.Column("scratch", sa.String(length=4000), nullable=True))
    for table in ("answer", "job_sheet", "paper"):
        op.add_column(table, sa.Column("decimal", sa.String(length=40), nullable=True))
    op.create_table(
        "lesson",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("drill_id", sa.String(length=200), nullable=False),
        sa.Column("slip", sa.String(length=200), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_lesson_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_lesson")),
    )
    op.create_index(op.f("ix_lesson_person_id"), "lesson", ["person_id"])
    op.create_table(
        "lesson_exercise",
        sa.Column("exercise_id", sa.Integer(), nullable=False),
        sa.Column("lesson_id", sa.Integer(), nullable=False),
        sa.ForeignKeyConstraint(
            ["exercise_id"], ["exercise.id"], name=op.f("fk_lesson_exercise_exercise_id_exercise")
        ),
        sa.ForeignKeyConstraint(
            ["lesson_id"], ["lesson.id"], name=op.f("fk_lesson_exercise_lesson_id_lesson")
        ),
        sa.PrimaryKeyConstraint("exercise_id", name=op.f("pk_lesson_exercise")),
    )
    op.create_index(op.f("ix_lesson_exercise_lesson_id"), "lesson_exercise", ["lesson_id"])
    op.create_table(
        "printed_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("items", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_printed_sheet_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_printed_sheet")),
    )
    op.create_index(op.f("ix_printed_sheet_person_id"), "printed_sheet", ["person_id"])
    op.create_table(
        "habit",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("decimal", sa.String(length=40), nullable=False),
        sa.Column("lengths", sa.String(length=40), nullable=False),
        sa.Column("text_size", sa.String(length=40), nullable=False),
        sa.Column("paper", sa.String(length=40), nullable=False),
        sa.CheckConstraint("decimal IN ('house', 'point', 'comma')", name=op.f("ck_habit_decimal")),
        sa.CheckConstraint("lengths IN ('drawn', 'mm', 'in')", name=op.f("ck_habit_lengths")),
        sa.CheckConstraint("text_size IN ('usual', 'large', 'largest')", name=op.f("ck_habit_text_size")),
        sa.CheckConstraint("paper IN ('device', 'white', 'blue')", name=op.f("ck_habit_paper")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_habit_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", name=op.f("pk_habit")),
    )


def downgrade() -> None:
    op.drop_table("habit")
    op.drop_table("printed_sheet")
    op.drop_table("lesson_exercise")
    op.drop_table("lesson")
    for table in ("paper", "job_sheet", "answer"):
        op.drop_column(table, "decimal")
    op.drop_column("answer", "scratch")
    op.drop_column("exercise", "hints")
    op.drop_column("exercise", "guidance")
