"""Sealed examinations: the wrapped data key of each, and the editions behind its papers."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"


def upgrade() -> None:
    op.create_table(
        "seal",
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("salt", sa.String(length=40), nullable=False),
        sa.Column("wrapped", sa.String(length=200), nullable=False),
        sa.Column("sealed_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("opened_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["sitting_id"], ["sitting.id"], name=op.f("fk_seal_sitting_id_sitting")),
        sa.PrimaryKeyConstraint("sitting_id", name=op.f("pk_seal")),
    )
    op.create_table(
        "sealed_edition",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sitting_id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=64), nullable=False),
        sa.Column("sealed", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(
            ["sitting_id"], ["sitting.id"], name=op.f("fk_sealed_edition_sitting_id_sitting")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sealed_edition")),
        sa.UniqueConstraint("sitting_id", "name", name=op.f("uq_sealed_edition_sitting_id_name")),
    )


def downgrade() -> None:
    op.drop_table("sealed_edition")
    op.drop_table("seal")
