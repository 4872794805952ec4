"""What links of the chain tell in words, kept apart so that it can be erased with the person."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0014"


def upgrade() -> None:
    op.create_table(
        "aside",
        sa.Column("link_seq", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("salt", sa.String(length=64), nullable=False),
        sa.Column("texts", sa.JSON(), nullable=False),
        sa.ForeignKeyConstraint(["link_seq"], ["link.seq"], name=op.f("fk_aside_link_seq_link")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_aside_person_id_person")),
        sa.PrimaryKeyConstraint("link_seq", name=op.f("pk_aside")),
    )
    op.create_index(op.f("ix_aside_person_id"), "aside", ["person_id"])


def downgrade() -> None:
    op.drop_table("aside")
