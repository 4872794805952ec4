"""Questions of an examination counted as they are drawn, slips kept with papers, typed values, sealed own items."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0018"


def upgrade() -> None:
    with op.batch_alter_table("sitting") as table:
        table.add_column(sa.Column("tally", sa.JSON(), nullable=True))
    with op.batch_alter_table("paper_answer") as table:
        table.add_column(sa.Column("slip", sa.String(length=200), nullable=True))
    with op.batch_alter_table("typed_marks") as table:
        table.alter_column("marks", existing_type=sa.String(length=200), type_=sa.String(length=4000))


def downgrade() -> None:
    with op.batch_alter_table("typed_marks") as table:
        table.alter_column("marks", existing_type=sa.String(length=4000), type_=sa.String(length=200))
    with op.batch_alter_table("paper_answer") as table:
        table.drop_column("slip")
    with op.batch_alter_table("sitting") as table:
        table.drop_column("tally")
