"""Knowledge questions in practice: one row for each asked, one for its answer."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"


def upgrade() -> None:
    op.create_table(
        "question_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("edition_hash", sa.String(length=64), nullable=False),
        sa.Column("question_id", sa.String(length=200), nullable=False),
        sa.Column("topic", sa.String(length=200), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("snapshot", sa.JSON(), nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["edition_hash"], ["edition.hash"], name=op.f("fk_question_sheet_edition_hash_edition")
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_question_sheet_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question_sheet")),
    )
    op.create_index(op.f("ix_question_sheet_person_id"), "question_sheet", ["person_id"])
    op.create_table(
        "question_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("letter", sa.String(length=40), nullable=False),
        sa.Column("verdict", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=40), nullable=True),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("verdict IN ('right', 'wrong')", name=op.f("ck_question_answer_verdict")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_question_answer_person_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["question_sheet.id"], name=op.f("fk_question_answer_sheet_id_question_sheet")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_question_answer")),
        sa.UniqueConstraint("person_id", "key", name=op.f("uq_question_answer_person_id_key")),
        sa.UniqueConstraint("sheet_id", name=op.f("uq_question_answer_sheet_id")),
    )


def downgrade() -> None:
    op.drop_table("question_answer")
    op.drop_table("question_sheet")
