"""Which page last wrote on an item of a paper, and why a paper was declared void."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"


def upgrade() -> None:
    op.add_column("paper_answer", sa.Column("key", sa.String(length=40), nullable=True))
    op.add_column("paper", sa.Column("void_reason", sa.String(length=200), nullable=True))


def downgrade() -> None:
    op.drop_column("paper", "void_reason")
    op.drop_column("paper_answer", "key")
