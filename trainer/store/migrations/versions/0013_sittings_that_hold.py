"""Who was seen to sit a paper, incidents, appeals against verdicts; printed papers and their typed marks."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"


def upgrade() -> None:
    op.create_table(
        "identity_check",
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_identity_check_by_id_person")),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_identity_check_paper_id_paper")),
        sa.PrimaryKeyConstraint("paper_id", name=op.f("pk_identity_check")),
    )
    op.create_table(
        "incident",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=True),
        sa.Column("says", sa.String(length=300), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_incident_by_id_person")),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_incident_paper_id_paper")),
        sa.ForeignKeyConstraint(["sitting_id"], ["sitting.id"], name=op.f("fk_incident_sitting_id_sitting")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_incident")),
    )
    op.create_index(op.f("ix_incident_sitting_id"), "incident", ["sitting_id"])
    op.create_table(
        "appeal",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("answer_id", sa.Integer(), nullable=False),
        sa.Column("says", sa.String(length=300), nullable=False),
        sa.Column("written_by_id", sa.Integer(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("was", sa.String(length=40), nullable=False),
        sa.Column("verdict", sa.String(length=40), nullable=True),
        sa.Column("reason", sa.String(length=300), nullable=True),
        sa.Column("decided_by_id", sa.Integer(), nullable=True),
        sa.Column("decided_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["answer_id"], ["paper_answer.id"], name=op.f("fk_appeal_answer_id_paper_answer")
        ),
        sa.ForeignKeyConstraint(
            ["written_by_id"], ["person.id"], name=op.f("fk_appeal_written_by_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["decided_by_id"], ["person.id"], name=op.f("fk_appeal_decided_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_appeal")),
        sa.UniqueConstraint("answer_id", name=op.f("uq_appeal_answer_id")),
    )
    op.create_table(
        "printed_paper",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("items", sa.JSON(), nullable=False),
        sa.Column("printed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=True),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_printed_paper_paper_id_paper")),
        sa.ForeignKeyConstraint(
            ["sitting_id"], ["sitting.id"], name=op.f("fk_printed_paper_sitting_id_sitting")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_printed_paper")),
        sa.UniqueConstraint("paper_id", name=op.f("uq_printed_paper_paper_id")),
        sa.UniqueConstraint("sitting_id", "number", name=op.f("uq_printed_paper_sitting_id_number")),
    )
    op.create_table(
        "typed_marks",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("printed_id", sa.Integer(), nullable=False),
        sa.Column("turn", sa.Integer(), nullable=False),
        sa.Column("works_number", sa.String(length=40), nullable=False),
        sa.Column("marks", sa.String(length=200), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("turn IN (1, 2)", name=op.f("ck_typed_marks_turn")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_typed_marks_by_id_person")),
        sa.ForeignKeyConstraint(
            ["printed_id"], ["printed_paper.id"], name=op.f("fk_typed_marks_printed_id_printed_paper")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_typed_marks")),
    )
    op.create_index(op.f("ix_typed_marks_printed_id"), "typed_marks", ["printed_id"])


def downgrade() -> None:
    op.drop_table("typed_marks")
    op.drop_table("printed_paper")
    op.drop_table("appeal")
    op.drop_table("incident")
    op.drop_table("identity_check")
