"""Written practices and decisions about them, evidence files, and what erasing a person needs."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"


def upgrade() -> None:
    op.create_table(
        "practice_revision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("based_on", sa.String(length=40), nullable=False),
        sa.Column("revision", sa.String(length=40), nullable=False),
        sa.Column("in_force", sa.Date(), nullable=False),
        sa.Column("overrides", sa.JSON(), nullable=False),
        sa.Column("drafted_by_id", sa.Integer(), nullable=False),
        sa.Column("drafted_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["drafted_by_id"], ["person.id"], name=op.f("fk_practice_revision_drafted_by_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["organisation_id"],
            ["organisation.id"],
            name=op.f("fk_practice_revision_organisation_id_organisation"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practice_revision")),
        sa.UniqueConstraint(
            "organisation_id",
            "based_on",
            "revision",
            name=op.f("uq_practice_revision_organisation_id_based_on_revision"),
        ),
    )
    op.create_table(
        "practice_decision",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("revision_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("approved", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.Column("decided_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_practice_decision_person_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["revision_id"],
            ["practice_revision.id"],
            name=op.f("fk_practice_decision_revision_id_practice_revision"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practice_decision")),
        sa.UniqueConstraint("revision_id", name=op.f("uq_practice_decision_revision_id")),
    )
    op.create_table(
        "evidence_file",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("entry_id", sa.String(length=40), nullable=False),
        sa.Column("name", sa.String(length=200), nullable=False),
        sa.Column("kind", sa.String(length=40), nullable=False),
        sa.Column("size", sa.Integer(), nullable=False),
        sa.Column("digest", sa.String(length=64), nullable=False),
        sa.Column("content", sa.LargeBinary(), nullable=False),
        sa.Column("added_by_id", sa.Integer(), nullable=False),
        sa.Column("added_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["added_by_id"], ["person.id"], name=op.f("fk_evidence_file_added_by_id_person")
        ),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_evidence_file_entry_id_entry")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_evidence_file")),
        sa.UniqueConstraint("entry_id", "digest", name=op.f("uq_evidence_file_entry_id_digest")),
    )
    op.add_column("entry", sa.Column("salt", sa.String(length=64), nullable=True))
    op.add_column("person", sa.Column("erased_at", sa.DateTime(timezone=True), nullable=True))
    op.create_table(
        "erasure",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.Column("asked_by_id", sa.Integer(), nullable=False),
        sa.Column("asked_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("done_by_id", sa.Integer(), nullable=True),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["asked_by_id"], ["person.id"], name=op.f("fk_erasure_asked_by_id_person")),
        sa.ForeignKeyConstraint(["done_by_id"], ["person.id"], name=op.f("fk_erasure_done_by_id_person")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_erasure_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_erasure")),
        sa.UniqueConstraint("person_id", name=op.f("uq_erasure_person_id")),
    )


def downgrade() -> None:
    op.drop_table("erasure")
    op.drop_column("person", "erased_at")
    op.drop_column("entry", "salt")
    op.drop_table("evidence_file")
    op.drop_table("practice_decision")
    op.drop_table("practice_revision")
