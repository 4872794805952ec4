"""Classes with their meetings, and practice."""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"


def upgrade() -> None:
    op.create_table(
        "taught_class",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("instructor_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("level", sa.String(length=40), nullable=False),
        sa.Column("starts_on", sa.Date(), nullable=False),
        sa.Column("created_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("closed_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("level IN ('I', 'II')", name=op.f("ck_taught_class_level")),
        sa.ForeignKeyConstraint(
            ["instructor_id"], ["person.id"], name=op.f("fk_taught_class_instructor_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["organisation_id"],
            ["organisation.id"],
            name=op.f("fk_taught_class_organisation_id_organisation"),
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_taught_class")),
    )
    op.create_index(op.f("ix_taught_class_instructor_id"), "taught_class", ["instructor_id"])
    op.create_index(op.f("ix_taught_class_organisation_id"), "taught_class", ["organisation_id"])
    op.create_table(
        "class_member",
        sa.Column("class_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("joined_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("left_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(
            ["class_id"], ["taught_class.id"], name=op.f("fk_class_member_class_id_taught_class")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_class_member_person_id_person")),
        sa.PrimaryKeyConstraint("class_id", "person_id", name=op.f("pk_class_member")),
    )
    op.create_index(op.f("ix_class_member_person_id"), "class_member", ["person_id"])
    op.create_table(
        "meeting",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("class_id", sa.Integer(), nullable=False),
        sa.Column("held_on", sa.Date(), nullable=False),
        sa.Column("starts_at", sa.Time(), nullable=False),
        sa.Column("hours", sa.String(40), nullable=False),
        sa.Column("level", sa.String(length=40), nullable=False),
        sa.Column("content", sa.String(length=40), nullable=False),
        sa.Column("mode", sa.String(length=40), nullable=False),
        sa.Column("subject", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("confirmed_at", sa.DateTime(timezone=True), nullable=True),
        sa.Column("confirmed_by_id", sa.Integer(), nullable=True),
        sa.CheckConstraint("content IN ('theory', 'practical')", name=op.f("ck_meeting_content")),
        sa.CheckConstraint("level IN ('I', 'II')", name=op.f("ck_meeting_level")),
        sa.CheckConstraint("mode IN ('classroom', 'laboratory')", name=op.f("ck_meeting_mode")),
        sa.ForeignKeyConstraint(
            ["class_id"], ["taught_class.id"], name=op.f("fk_meeting_class_id_taught_class")
        ),
        sa.ForeignKeyConstraint(
            ["confirmed_by_id"], ["person.id"], name=op.f("fk_meeting_confirmed_by_id_person")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_meeting")),
    )
    op.create_index(op.f("ix_meeting_class_id"), "meeting", ["class_id"])
    op.create_table(
        "attendance",
        sa.Column("meeting_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("presence", sa.String(length=40), nullable=False),
        sa.Column("hours", sa.String(40), nullable=True),
        sa.Column("noted_by_id", sa.Integer(), nullable=False),
        sa.Column("noted_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("entry_id", sa.String(length=40), nullable=True),
        sa.CheckConstraint("presence IN ('present', 'absent', 'part')", name=op.f("ck_attendance_presence")),
        sa.ForeignKeyConstraint(["entry_id"], ["entry.id"], name=op.f("fk_attendance_entry_id_entry")),
        sa.ForeignKeyConstraint(
            ["meeting_id"], ["meeting.id"], name=op.f("fk_attendance_meeting_id_meeting")
        ),
        sa.ForeignKeyConstraint(
            ["noted_by_id"], ["person.id"], name=op.f("fk_attendance_noted_by_id_person")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_attendance_person_id_person")),
        sa.PrimaryKeyConstraint("meeting_id", "person_id", name=op.f("pk_attendance")),
    )
    op.create_index(op.f("ix_attendance_person_id"), "attendance", ["person_id"])
    op.create_table(
        "edition",
        sa.Column("hash", sa.String(length=64), nullable=False),
        sa.Column("drill_id", sa.String(length=200), nullable=False),
        sa.Column("content", sa.Text(), nullable=False),
        sa.Column("kept_at", sa.DateTime(timezone=True), nullable=False),
        sa.PrimaryKeyConstraint("hash", name=op.f("pk_edition")),
    )
    op.create_index(op.f("ix_edition_drill_id"), "edition", ["drill_id"])
    op.create_table(
        "drill_set",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("organisation_id", sa.Integer(), nullable=False),
        sa.Column("made_by_id", sa.Integer(), nullable=False),
        sa.Column("title", sa.String(length=200), nullable=False),
        sa.Column("made_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("retired_at", sa.DateTime(timezone=True), nullable=True),
        sa.ForeignKeyConstraint(["made_by_id"], ["person.id"], name=op.f("fk_drill_set_made_by_id_person")),
        sa.ForeignKeyConstraint(
            ["organisation_id"], ["organisation.id"], name=op.f("fk_drill_set_organisation_id_organisation")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drill_set")),
    )
    op.create_index(op.f("ix_drill_set_made_by_id"), "drill_set", ["made_by_id"])
    op.create_index(op.f("ix_drill_set_organisation_id"), "drill_set", ["organisation_id"])
    op.create_table(
        "drill_set_line",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("set_id", sa.Integer(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("drill_id", sa.String(length=200), nullable=False),
        sa.Column("find", sa.String(length=40), nullable=True),
        sa.ForeignKeyConstraint(
            ["set_id"], ["drill_set.id"], name=op.f("fk_drill_set_line_set_id_drill_set")
        ),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_drill_set_line")),
        sa.UniqueConstraint("set_id", "position", name=op.f("uq_drill_set_line_set_id_position")),
    )
    op.create_table(
        "assignment",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("set_id", sa.Integer(), nullable=False),
        sa.Column("class_id", sa.Integer(), nullable=True),
        sa.Column("person_id", sa.Integer(), nullable=True),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("rule", sa.String(length=40), nullable=False),
        sa.Column("right_needed", sa.Integer(), nullable=True),
        sa.Column("assigned_by_id", sa.Integer(), nullable=False),
        sa.Column("assigned_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("withdrawn_at", sa.DateTime(timezone=True), nullable=True),
        sa.CheckConstraint("rule = 'proven' OR right_needed > 0", name=op.f("ck_assignment_right_needed")),
        sa.CheckConstraint("rule IN ('right', 'proven')", name=op.f("ck_assignment_rule")),
        sa.CheckConstraint("(class_id IS NULL) <> (person_id IS NULL)", name=op.f("ck_assignment_for_one")),
        sa.ForeignKeyConstraint(
            ["assigned_by_id"], ["person.id"], name=op.f("fk_assignment_assigned_by_id_person")
        ),
        sa.ForeignKeyConstraint(
            ["class_id"], ["taught_class.id"], name=op.f("fk_assignment_class_id_taught_class")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_assignment_person_id_person")),
        sa.ForeignKeyConstraint(["set_id"], ["drill_set.id"], name=op.f("fk_assignment_set_id_drill_set")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_assignment")),
    )
    op.create_index(op.f("ix_assignment_class_id"), "assignment", ["class_id"])
    op.create_index(op.f("ix_assignment_person_id"), "assignment", ["person_id"])
    op.create_index(op.f("ix_assignment_set_id"), "assignment", ["set_id"])
    op.create_table(
        "exercise",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("edition_hash", sa.String(length=64), nullable=False),
        sa.Column("drill_id", sa.String(length=200), nullable=False),
        sa.Column("family", sa.String(length=200), nullable=False),
        sa.Column("seed", sa.BigInteger(), nullable=False),
        sa.Column("find", sa.String(length=40), nullable=False),
        sa.Column("snapshot", sa.JSON(), nullable=False),
        sa.Column("assignment_id", sa.Integer(), nullable=True),
        sa.Column("offered_at", sa.DateTime(timezone=True), nullable=False),
        sa.Column("aided", sa.Boolean(), nullable=False),
        sa.Column("reason", sa.String(length=200), nullable=False),
        sa.ForeignKeyConstraint(
            ["assignment_id"], ["assignment.id"], name=op.f("fk_exercise_assignment_id_assignment")
        ),
        sa.ForeignKeyConstraint(
            ["edition_hash"], ["edition.hash"], name=op.f("fk_exercise_edition_hash_edition")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_exercise_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_exercise")),
    )
    op.create_index(op.f("ix_exercise_assignment_id"), "exercise", ["assignment_id"])
    op.create_index(op.f("ix_exercise_person_id"), "exercise", ["person_id"])
    op.create_table(
        "answer",
        sa.Column("id", sa.Integer(), nullable=False),
        sa.Column("exercise_id", sa.Integer(), nullable=False),
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("text", sa.String(length=2000), nullable=False),
        sa.Column("verdict", sa.String(length=40), nullable=False),
        sa.Column("slip", sa.String(length=200), nullable=True),
        sa.Column("key", sa.String(length=40), nullable=True),
        sa.Column("answered_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("verdict IN ('right', 'wrong', 'unreadable')", name=op.f("ck_answer_verdict")),
        sa.ForeignKeyConstraint(
            ["exercise_id"], ["exercise.id"], name=op.f("fk_answer_exercise_id_exercise")
        ),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_answer_person_id_person")),
        sa.PrimaryKeyConstraint("id", name=op.f("pk_answer")),
        sa.UniqueConstraint("exercise_id", name=op.f("uq_answer_exercise_id")),
        sa.UniqueConstraint("person_id", "key", name=op.f("uq_answer_person_id_key")),
    )
    op.create_index(op.f("ix_answer_answered_at"), "answer", ["answered_at"])
    op.create_table(
        "skill_state",
        sa.Column("person_id", sa.Integer(), nullable=False),
        sa.Column("family", sa.String(length=200), nullable=False),
        sa.Column("state", sa.String(length=40), nullable=False),
        sa.Column("theta", sa.Double(), nullable=False),
        sa.Column("answers", sa.Integer(), nullable=False),
        sa.Column("due_on", sa.Date(), nullable=True),
        sa.Column("data", sa.JSON(), nullable=False),
        sa.Column("changed_at", sa.DateTime(timezone=True), nullable=False),
        sa.CheckConstraint("state IN ('begun', 'steady', 'proven')", name=op.f("ck_skill_state_state")),
        sa.ForeignKeyConstraint(["person_id"], ["person.id"], name=op.f("fk_skill_state_person_id_person")),
        sa.PrimaryKeyConstraint("person_id", "family", name=op.f("pk_skill_state")),
    )


def downgrade() -> None:
    op.drop_table("skill_state")
    op.drop_table("answer")
    op.drop_table("exercise")
    op.drop_table("assignment")
    op.drop_table("drill_set_line")
    op.drop_table("drill_set")
    op.drop_table("edition")
    op.drop_table("attendance")
    op.drop_table("meeting")
    op.drop_table("class_member")
    op.drop_table("taught_class")
