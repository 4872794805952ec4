"""Practical examinations: specimens, one sheet a candidate, its examiners, every mark they set."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"


def upgrade() -> None:
    op.create_table(
        "specimen",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("code", sa.String(length=40), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("private_map", sa.JSON(), nullable=False),
        sa.Column("entered_by_id", sa.Integer(), nullable=False),
        sa.Column("entered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_specimen_organisation_id_organisation")
        ),
        sa.ForeignKeyConstraint(
            ["entered_by_id"], ["person.id"], name=op.f("fk_specimen_entered_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_specimen")),
    )
    op.create_index(op.f("ix_specimen_organisation_id"), "specimen", ["organisation_id"])
    op.create_table(
        "practical_sheet",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("level", sa.String(length=40), nullable=False),
        sa.Column("checklist_id", sa.String(length=200), nullable=False),
        sa.Column("edition_hash", sa.String(length=64), nullable=False),
        sa.Column("specimen_id", sa.Integer(), nullable=False),
        sa.Column("pass_mark", sa.Integer(), nullable=False),
        sa.Column("begun_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("void_reason", sa.String(length=200), nullable=True),
        sa.Column("score", sa.JSON(), nullable=True),
        sa.Column("entry_id", sa.String(length=40), nullable=True),
        sa.CheckConstraint("level IN ('I', 'II')", name=op.f("ck_practical_sheet_level")),
        sa.CheckConstraint("pass_mark BETWEEN 1 AND 100", name=op.f("ck_practical_sheet_pass_mark")),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_practical_sheet_person_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["edition_hash"], ["edition.hash"], name=op.f("fk_practical_sheet_edition_hash_edition")
        ),
        sa.ForeignKeyConstraint(
            ["specimen_id"], ["specimen.id"], name=op.f("fk_practical_sheet_specimen_id_specimen")
        ),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_practical_sheet_entry_id_entry")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practical_sheet")),
    )
    op.create_index(op.f("ix_practical_sheet_person_id"), "practical_sheet", ["person_id"])
    op.create_index(op.f("ix_practical_sheet_specimen_id"), "practical_sheet", ["specimen_id"])
    op.create_table(
        "practical_examiner",
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("place", sa.Integer(), nullable=False),
        sa.Column("done_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("place IN (1, 2)", name=op.f("ck_practical_examiner_place")),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["practical_sheet.id"], name=op.f("fk_practical_examiner_sheet_id_practical_sheet")
        ),
        sa.ForeignKeyConstraint(
            ["person_id"], ["person.id"], name=op.f("fk_practical_examiner_person_id_person")
        ),
        sa.PrimaryKeyConstraint("sheet_id", "person_id", name=op.f("pk_practical_examiner")),
        sa.UniqueConstraint("sheet_id", "place", name=op.f("uq_practical_examiner_sheet_id_place")),
    )
    op.create_index(op.f("ix_practical_examiner_person_id"), "practical_examiner", ["person_id"])
    op.create_table(
        "practical_mark",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("sheet_id", sa.Integer(), nullable=False),
        sa.Column("examiner_id", sa.Integer(), nullable=False),
        sa.Column("point", sa.String(length=200), nullable=False),
        sa.Column("mark", sa.String(length=40), nullable=False),
        sa.Column("key", sa.String(length=40), nullable=True),
        sa.Column("marked_at", sa.DateTime(timezone=True), nullable=False),
        sa.ForeignKeyConstraint(
            ["sheet_id"], ["practical_sheet.id"], name=op.f("fk_practical_mark_sheet_id_practical_sheet")
        ),
        sa.ForeignKeyConstraint(
            ["examiner_id"], ["person.id"], name=op.f("fk_practical_mark_examiner_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_practical_mark")),
        sa.UniqueConstraint("examiner_id", "key", name=op.f("uq_practical_mark_examiner_id_key")),
    )
    op.create_index(op.f("ix_practical_mark_sheet_id"), "practical_mark", ["sheet_id"])


def downgrade() -> None:
    op.drop_table("practical_mark")
    op.drop_table("practical_examiner")
    op.drop_table("practical_sheet")
    op.drop_table("specimen")
