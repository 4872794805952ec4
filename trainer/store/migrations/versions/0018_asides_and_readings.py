"""What links tell in words, apart so that it can be erased with the person; which entries somebody has read."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0018"
down_revision = "0017"


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
    op.create_table(
        "entry_reading",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.String(length=40), nullable=False),
        sa.Column("edition", sa.String(length=64), nullable=False),
        sa.Column("read_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_entry_reading_entry_id_entry")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_entry_reading_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "entry_id", "edition", name=op.f("pk_entry_reading")),
    )
    op.create_index(op.f("ix_entry_reading_entry_id"), "entry_reading", ["entry_id"])


def downgrade() -> None:
    op.drop_table("entry_reading")
    op.drop_table("aside")
