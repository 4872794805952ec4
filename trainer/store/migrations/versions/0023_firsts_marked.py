"""Each answer says whether it is its person's first one, each skill how its first one was: statistics look at no others."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0023"
down_revision = "0022"

FIRST_ANSWERS = """
UPDATE answer SET is_first = :yes WHERE id IN (
    SELECT min(answer.id) FROM answer JOIN exercise ON exercise.id = answer.exercise_id
    WHERE exercise.aided = :no GROUP BY exercise.person_id, exercise.drill_id, exercise.find)
"""
FIRST_CHOICES = """
UPDATE question_answer SET is_first = :yes WHERE id IN (
    SELECT min(question_answer.id) FROM question_answer JOIN question_sheet ON question_sheet.id = question_answer.sheet_id
    GROUP BY question_sheet.person_id, question_sheet.question_id)
"""
FIRST_OF_FAMILY = """
UPDATE skill_state SET first_right = :yes WHERE (person_id, family) IN (
    SELECT exercise.person_id, exercise.family FROM answer JOIN exercise ON exercise.id = answer.exercise_id
    WHERE answer.verdict = 'right' AND answer.id IN (
        SELECT min(answer.id) FROM answer JOIN exercise ON exercise.id = answer.exercise_id
        WHERE exercise.aided = :no GROUP BY exercise.person_id, exercise.family))
"""
TABLES = ("answer", "question_answer")


def upgrade() -> None:
    op.add_column("skill_state", _said("first_right"))
    for table in TABLES:
        op.add_column(table, _said("is_first"))
    yes, no = sa.bindparam("yes", True, sa.Boolean()), sa.bindparam("no", False, sa.Boolean())
    op.execute(sa.text(FIRST_ANSWERS).bindparams(yes, no))
    op.execute(sa.text(FIRST_CHOICES).bindparams(yes))
    op.execute(sa.text(FIRST_OF_FAMILY).bindparams(yes, no))
    for table in TABLES:
        op.create_index(
            op.f(f"ix_{table}_person_id_first"), table, ["person_id", "is_first", "verdict"],
            sqlite_where=sa.text("is_first = 1"), postgresql_where=sa.text("is_first"),
        )  # fmt: skip
    op.create_index(
        op.f("ix_question_sheet_person_id_question_id"), "question_sheet", ["person_id", "question_id"]
    )
    op.drop_index(op.f("ix_question_sheet_person_id"), "question_sheet")


def downgrade() -> None:
    op.create_index(op.f("ix_question_sheet_person_id"), "question_sheet", ["person_id"])
    op.drop_index(op.f("ix_question_sheet_person_id_question_id"), "question_sheet")
    for table in TABLES:
        op.drop_index(op.f(f"ix_{table}_person_id_first"), table)
        with op.batch_alter_table(table) as altered:
            altered.drop_column("is_first")
    with op.batch_alter_table("skill_state") as altered:
        altered.drop_column("first_right")


def _said(name: str) -> sa.Column[bool]:
    """A column that says no of what is there, until it is looked at."""
    return sa.Column(name, sa.Boolean(), nullable=False, server_default=sa.false())
