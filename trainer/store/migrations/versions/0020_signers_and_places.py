"""Personal signing keys; who is to sign a record beside the house; where an erased person is still named."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0020"
down_revision = "0019"


def upgrade() -> None:
    op.create_table(
        "personal_key",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("did", sa.String(length=200), nullable=False),
        sa.Column("salt", sa.String(length=40), nullable=True),
        sa.Column("wrapped", sa.String(length=200), nullable=True),
        sa.Column("introduction", sa.Text(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_personal_key_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_personal_key")),
        sa.UniqueConstraint("did", name=op.f("uq_personal_key_did")),
    )
    op.create_index(op.f("ix_personal_key_person_id"), "personal_key", ["person_id"])
    op.create_table(
        "record_signer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("export_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("did", sa.String(length=200), nullable=False),
        sa.Column("role", sa.String(length=40), nullable=False),
        sa.Column("shown_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("proof", sa.Text(), nullable=True),
        sa.ForeignKeyConstraint(["export_id"], ["export.id"], name=op.f("fk_record_signer_export_id_export")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_record_signer_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_record_signer")),
        sa.UniqueConstraint("export_id", "did", name=op.f("uq_record_signer_export_id_did")),
    )
    op.create_index(op.f("ix_record_signer_person_id"), "record_signer", ["person_id"])
    op.add_column("erasure", sa.Column("places", sa.JSON(), nullable=True))


def downgrade() -> None:
    op.drop_column("erasure", "places")
    op.drop_table("record_signer")
    op.drop_table("personal_key")
