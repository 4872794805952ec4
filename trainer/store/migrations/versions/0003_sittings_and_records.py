"""Sittings with their papers, and what goes out."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"


def upgrade() -> None:
    op.create_table(
        "sitting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("class_id", sa.Integer(), nullable=True),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("level", sa.String(length=40), nullable=False),
        sa.Column("plan", sa.JSON(), nullable=False),
        sa.Column("minutes", sa.Integer(), nullable=False),
        sa.Column("opened_by_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("state", sa.String(length=40), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint(
            "kind IN ('drill', 'general', 'specific', 'practical')", name=op.f("ck_sitting_kind")
        ),
        sa.CheckConstraint("level IN ('I', 'II')", name=op.f("ck_sitting_level")),
        sa.CheckConstraint(
            "state IN ('planned', 'open', 'paused', 'closed', 'void')", name=op.f("ck_sitting_state")
        ),
        sa.CheckConstraint("minutes > 0", name=op.f("ck_sitting_minutes")),
        sa.ForeignKeyConstraint(
            ["class_id"], ["taught_class.id"], name=op.f("fk_sitting_class_id_taught_class")
        ),
        sa.ForeignKeyConstraint(["opened_by_id"], ["person.id"], name=op.f("fk_sitting_opened_by_id_person")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_sitting_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sitting")),
    )
    op.create_index(op.f("ix_sitting_class_id"), "sitting", ["class_id"])
    op.create_index(op.f("ix_sitting_organisation_id"), "sitting", ["organisation_id"])
    op.create_table(
        "paper",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("started_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("deadline", sa.DateTime(timezone=True), nullable=False),
        sa.Column("extra_minutes", sa.Integer(), nullable=False),
        sa.Column("extra_reason", sa.String(length=200), nullable=True),
        sa.Column("handed_in_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("score", sa.JSON(), nullable=True),
        sa.Column("entry_id", sa.String(length=40), nullable=True),
        sa.CheckConstraint("extra_minutes >= 0", name=op.f("ck_paper_extra_minutes")),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_paper_entry_id_entry")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_paper_person_id_person")),
        sa.ForeignKeyConstraint(["sitting_id"], ["sitting.id"], name=op.f("fk_paper_sitting_id_sitting")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper")),
        sa.UniqueConstraint("sitting_id", "person_id", name=op.f("uq_paper_sitting_id_person_id")),
    )
    op.create_index(op.f("ix_paper_person_id"), "paper", ["person_id"])
    op.create_table(
        "paper_answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("paper_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("exercise", sa.JSON(), nullable=False),
        sa.Column("text", sa.String(length=2000), nullable=False),
        sa.Column("flagged", sa.Boolean(), nullable=False),
        sa.Column("saved_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("verdict", sa.String(length=40), nullable=True),
        sa.ForeignKeyConstraint(["paper_id"], ["paper.id"], name=op.f("fk_paper_answer_paper_id_paper")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_paper_answer")),
        sa.UniqueConstraint("paper_id", "position", name=op.f("uq_paper_answer_paper_id_position")),
    )
    op.create_table(
        "pinned_issuer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("did", sa.String(length=200), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("valid_from", sa.Date(), nullable=True),
        sa.Column("valid_to", sa.Date(), nullable=True),
        sa.Column("introduced_by", sa.String(length=200), nullable=True),
        sa.Column("pinned_by_id", sa.Integer(), nullable=False),
        sa.Column("pinned_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("dropped_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["organisation_id"],
            ["organisation.id"],
            name=op.f("fk_pinned_issuer_organisation_id_organisation"),
        ),
        sa.ForeignKeyConstraint(
            ["pinned_by_id"], ["person.id"], name=op.f("fk_pinned_issuer_pinned_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pinned_issuer")),
        sa.UniqueConstraint("organisation_id", "did", name=op.f("uq_pinned_issuer_organisation_id_did")),
    )
    op.create_table(
        "export",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("credential", sa.String(length=200), nullable=False),
        sa.Column("status_index", sa.Integer(), nullable=True),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("made_by_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("revoked_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("suspended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("reason", sa.String(length=200), nullable=True),
        sa.ForeignKeyConstraint(["made_by_id"], ["person.id"], name=op.f("fk_export_made_by_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_export_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_export")),
        sa.UniqueConstraint("credential", name=op.f("uq_export_credential")),
        sa.UniqueConstraint("status_index", name=op.f("uq_export_status_index")),
    )
    op.create_index(op.f("ix_export_person_id"), "export", ["person_id"])


def downgrade() -> None:
    op.drop_table("export")
    op.drop_table("pinned_issuer")
    op.drop_table("paper_answer")
    op.drop_table("paper")
    op.drop_table("sitting")
