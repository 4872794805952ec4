"""Drafts of own items, their revisions and what was done with them."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"


def upgrade() -> None:
    op.create_table(
        "draft",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.CheckConstraint("kind IN ('question', 'drill', 'practical')", name=op.f("ck_draft_kind")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_draft_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_draft")),
    )
    op.create_index(op.f("ix_draft_organisation_id"), "draft", ["organisation_id"])
    op.create_table(
        "draft_revision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("draft_id", sa.Integer(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("text", sa.Text(), nullable=False),
        sa.Column("place", sa.String(length=200), nullable=False),
        sa.Column("author_id", sa.Integer(), nullable=False),
        sa.Column("written_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["author_id"], ["person.id"], name=op.f("fk_draft_revision_author_id_person")
        ),
        sa.ForeignKeyConstraint(["draft_id"], ["draft.id"], name=op.f("fk_draft_revision_draft_id_draft")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_draft_revision")),
        sa.UniqueConstraint("draft_id", "number", name=op.f("uq_draft_revision_draft_id_number")),
    )
    op.create_table(
        "draft_act",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("act", sa.String(length=40), nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "act IN ('put forward', 'approved', 'sent back', 'withdrawn')", name=op.f("ck_draft_act_act")
        ),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_draft_act_by_id_person")),
        sa.ForeignKeyConstraint(
            ["revision_id"], ["draft_revision.id"], name=op.f("fk_draft_act_revision_id_draft_revision")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_draft_act")),
    )
    op.create_index(op.f("ix_draft_act_revision_id"), "draft_act", ["revision_id"])


def downgrade() -> None:
    op.drop_table("draft_act")
    op.drop_table("draft_revision")
    op.drop_table("draft")
