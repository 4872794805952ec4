"""Panels that set a pass mark, and every sheet of their judges' estimates."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"


def upgrade() -> None:
    op.create_table(
        "panel",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("plan_id", sa.String(length=200), nullable=False),
        sa.Column("items", sa.JSON(), nullable=False),
        sa.Column("made_by_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["made_by_id"], ["person.id"], name=op.f("fk_panel_made_by_id_person")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_panel_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_panel")),
    )
    op.create_index(op.f("ix_panel_organisation_id"), "panel", ["organisation_id"])
    op.create_table(
        "panel_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("panel_id", sa.Integer(), nullable=False),
        sa.Column("round", sa.Integer(), nullable=False),
        sa.Column("ratings", sa.JSON(), nullable=False),
        sa.Column("says", sa.String(length=300), nullable=False),
        sa.Column("by_id", sa.Integer(), nullable=False),
        sa.Column("at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("round > 0", name=op.f("ck_panel_sheet_round")),
        sa.ForeignKeyConstraint(["by_id"], ["person.id"], name=op.f("fk_panel_sheet_by_id_person")),
        sa.ForeignKeyConstraint(["panel_id"], ["panel.id"], name=op.f("fk_panel_sheet_panel_id_panel")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_panel_sheet")),
    )
    op.create_index(op.f("ix_panel_sheet_panel_id"), "panel_sheet", ["panel_id"])


def downgrade() -> None:
    op.drop_table("panel_sheet")
    op.drop_table("panel")
