"""Questions of an examination counted as they are drawn, slips kept with papers, typed values, sealed own items."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0021"
down_revision = "0020"


def upgrade() -> None:
    with op.batch_alter_table("sitting") as table:
        table.add_column(sa.Column("tally", sa.JSON(), nullable=True))
    with op.batch_alter_table("paper_answer") as table:
        table.add_column(sa.Column("slip", sa.String(length=200), nullable=True))
    with op.batch_alter_table("typed_marks") as table:
        table.alter_column("marks", existing_type=sa.String(length=200), type_=sa.String(length=4000))
    with op.batch_alter_table("draft_revision") as table:
        table.add_column(sa.Column("sealed", sa.Text(), nullable=True))
    op.create_table(
        "own_seal",
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("salt", sa.String(length=40), nullable=False),
        sa.Column("wrapped", sa.String(length=200), nullable=False),
        sa.Column("sealed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_own_seal_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("organisation_id", name=op.f("pk_own_seal")),
    )


def downgrade() -> None:
    op.drop_table("own_seal")
    with op.batch_alter_table("draft_revision") as table:
        table.drop_column("sealed")
    with op.batch_alter_table("typed_marks") as table:
        table.alter_column("marks", existing_type=sa.String(length=4000), type_=sa.String(length=200))
    with op.batch_alter_table("paper_answer") as table:
        table.drop_column("slip")
    with op.batch_alter_table("sitting") as table:
        table.drop_column("tally")
