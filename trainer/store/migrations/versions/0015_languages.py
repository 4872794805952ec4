"""The language that a person wants the pages in; who has chosen nothing reads what the device asks for."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"


def upgrade() -> None:
    with op.batch_alter_table("habit") as table:
        table.add_column(sa.Column("language", sa.String(length=40), nullable=False, server_default="device"))


def downgrade() -> None:
    with op.batch_alter_table("habit") as table:
        table.drop_column("language")
