"""All tables, by noun. Import a table from here."""

from trainer.store.models.classes import Attendance, ClassMember, Meeting, TaughtClass
from trainer.store.models.jobs import JobAnswer, JobSheet
from trainer.store.models.ledger import Countersignature, Entry, Link, SignedHead
from trainer.store.models.model import Model
from trainer.store.models.people import (
    ROLES,
    Habit,
    JoinCode,
    Organisation,
    Person,
    PersonRole,
    SignInSession,
)
from trainer.store.models.practice import (
    Answer,
    Assignment,
    DrillSet,
    DrillSetLine,
    Edition,
    Exercise,
    Lesson,
    LessonExercise,
    PrintedSheet,
    SkillState,
)
from trainer.store.models.records import Export, PinnedIssuer
from trainer.store.models.sittings import Paper, PaperAnswer, Sitting

__all__ = [
    "ROLES",
    "Answer",
    "Assignment",
    "Attendance",
    "ClassMember",
    "Countersignature",
    "DrillSet",
    "DrillSetLine",
    "Edition",
    "Entry",
    "Exercise",
    "Export",
    "Habit",
    "JobAnswer",
    "JobSheet",
    "JoinCode",
    "Lesson",
    "LessonExercise",
    "Link",
    "Meeting",
    "Model",
    "Organisation",
    "Paper",
    "PaperAnswer",
    "Person",
    "PersonRole",
    "PinnedIssuer",
    "PrintedSheet",
    "SignInSession",
    "SignedHead",
    "Sitting",
    "SkillState",
    "TaughtClass",
]
