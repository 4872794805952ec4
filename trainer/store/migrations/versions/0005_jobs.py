"""Several-part jobs: one sheet for each job begun, one row for each step answered."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"


def upgrade() -> None:
    op.create_table(
        "job_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("edition_hash", sa.String(length=64), nullable=False),
        sa.Column("job_id", sa.String(length=200), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("snapshot", sa.JSON(), nullable=False),
        sa.Column("at_the_end", sa.Boolean(), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["edition_hash"], ["edition.hash"], name=op.f("fk_job_sheet_edition_hash_edition")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_job_sheet_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_sheet")),
    )
    op.create_index(op.f("ix_job_sheet_person_id"), "job_sheet", ["person_id"])
    op.create_table(
        "job_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(length=2000), nullable=False),
        sa.Column("verdict", sa.String(length=40), nullable=False),
        sa.Column("slip", sa.String(length=200), nullable=True),
        sa.Column("followed", sa.Boolean(), nullable=False),
        sa.Column("marks", sa.Integer(), nullable=False),
        sa.Column("key", sa.String(length=40), nullable=True),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("verdict IN ('right', 'wrong', 'left out')", name=op.f("ck_job_answer_verdict")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_job_answer_person_id_person")),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["job_sheet.id"], name=op.f("fk_job_answer_sheet_id_job_sheet")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_job_answer")),
        sa.UniqueConstraint("person_id", "key", name=op.f("uq_job_answer_person_id_key")),
        sa.UniqueConstraint("sheet_id", "position", name=op.f("uq_job_answer_sheet_id_position")),
    )


def downgrade() -> None:
    op.drop_table("job_answer")
    op.drop_table("job_sheet")
