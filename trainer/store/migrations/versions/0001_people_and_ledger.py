"""People, how they come in, and the ledger with its chain."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None


def upgrade() -> None:
    op.create_table(
        "organisation",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_organisation")),
        sa.UniqueConstraint("name", name=op.f("uq_organisation_name")),
    )
    op.create_table(
        "person",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("works_number", sa.String(length=40), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("email", sa.String(length=200), nullable=True),
        sa.Column("passphrase_hash", sa.String(length=200), nullable=True),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_person_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_person")),
        sa.UniqueConstraint("works_number", name=op.f("uq_person_works_number")),
    )
    op.create_index(op.f("ix_person_organisation_id"), "person", ["organisation_id"])
    op.create_table(
        "person_role",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("role", sa.String(length=40), nullable=False),
        sa.Column("granted_by_id", sa.Integer(), nullable=True),
        sa.Column("granted_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint(
            "role IN ('trainee', 'instructor', 'employer', 'level_iii', 'examiner')",
            name=op.f("ck_person_role_role"),
        ),
        sa.ForeignKeyConstraint(
            ["granted_by_id"], ["person.id"], name=op.f("fk_person_role_granted_by_id_person")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_person_role_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "role", name=op.f("pk_person_role")),
    )
    op.create_table(
        "join_code",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("purpose", sa.String(length=40), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("code_hash", sa.String(length=64), nullable=False),
        sa.Column("made_by_id", sa.Integer(), nullable=True),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("used_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("purpose IN ('first', 'join')", name=op.f("ck_join_code_purpose")),
        sa.ForeignKeyConstraint(["made_by_id"], ["person.id"], name=op.f("fk_join_code_made_by_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_join_code_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_join_code")),
        sa.UniqueConstraint("code_hash", name=op.f("uq_join_code_code_hash")),
    )
    op.create_index(op.f("ix_join_code_person_id"), "join_code", ["person_id"])
    op.create_table(
        "sign_in_session",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("token_hash", sa.String(length=64), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("expires_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("ended_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("came_from", sa.String(length=200), nullable=False),
        sa.Column("browser", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_sign_in_session_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_sign_in_session")),
        sa.UniqueConstraint("token_hash", name=op.f("uq_sign_in_session_token_hash")),
    )
    op.create_index(op.f("ix_sign_in_session_person_id"), "sign_in_session", ["person_id"])
    op.create_table(
        "entry",
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("id", sa.String(length=40), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("body", sa.JSON(), nullable=False),
        sa.Column("entered_by_id", sa.Integer(), nullable=False),
        sa.Column("entered_role", sa.String(length=40), nullable=False),
        sa.Column("entered_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["entered_by_id"], ["person.id"], name=op.f("fk_entry_entered_by_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_entry_person_id_person")),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_entry")),
        sa.UniqueConstraint("id", name=op.f("uq_entry_id")),
    )
    op.create_index(op.f("ix_entry_person_id"), "entry", ["person_id"])
    op.create_table(
        "countersignature",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.String(length=40), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("role", sa.String(length=40), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_countersignature_entry_id_entry")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_countersignature_person_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_countersignature")),
        sa.UniqueConstraint("entry_id", "person_id", name=op.f("uq_countersignature_entry_id_person_id")),
    )
    op.create_index(op.f("ix_countersignature_person_id"), "countersignature", ["person_id"])
    op.create_table(
        "link",
        sa.Column("seq", sa.Integer(), autoincrement=False, nullable=False),
        sa.Column("time", sa.String(length=40), nullable=False),
        sa.Column("event", sa.JSON(), nullable=False),
        sa.Column("prev", sa.String(length=64), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.PrimaryKeyConstraint("seq", name=op.f("pk_link")),
        sa.UniqueConstraint("hash", name=op.f("uq_link_hash")),
        sa.UniqueConstraint("prev", name=op.f("uq_link_prev")),
    )
    op.create_table(
        "signed_head",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("seq", sa.Integer(), nullable=False),
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.Column("root", sa.String(length=64), nullable=False),
        sa.Column("key", sa.String(length=200), nullable=False),
        sa.Column("signature", sa.String(length=200), nullable=False),
        sa.Column("signed_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(["seq"], ["link.seq"], name=op.f("fk_signed_head_seq_link")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_signed_head")),
    )


def downgrade() -> None:
    op.drop_table("signed_head")
    op.drop_table("link")
    op.drop_table("countersignature")
    op.drop_table("entry")
    op.drop_table("sign_in_session")
    op.drop_table("join_code")
    op.drop_table("person_role")
    op.drop_table("person")
    op.drop_table("organisation")
