"""Power packs of a shop with their leads."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"


def upgrade() -> None:
    op.create_table(
        "pack",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("rated", sa.String(length=40), nullable=False),
        sa.Column("duty", sa.String(length=40), nullable=False),
        sa.Column("period", sa.String(length=40), nullable=False),
        sa.Column("lead", sa.String(length=40), nullable=True),
        sa.Column("distance", sa.String(length=40), nullable=True),
        sa.Column("made_by_id", sa.Integer(), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("retired_by_id", sa.Integer(), nullable=True),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["made_by_id"], ["person.id"], name=op.f("fk_pack_made_by_id_person")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_pack_organisation_id_organisation")
        ),
        sa.ForeignKeyConstraint(["retired_by_id"], ["person.id"], name=op.f("fk_pack_retired_by_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_pack")),
    )
    op.create_index(op.f("ix_pack_organisation_id"), "pack", ["organisation_id"])


def downgrade() -> None:
    op.drop_table("pack")
