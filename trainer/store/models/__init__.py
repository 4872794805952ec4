"""All tables, by noun. Import a table from here."""

from trainer.store.models.classes import Attendance, ClassMember, Meeting, TaughtClass
from trainer.store.models.jobs import JobAnswer, JobSheet
from trainer.store.models.ledger import Countersignature, Entry, EvidenceFile, Link, SignedHead
from trainer.store.models.model import Model
from trainer.store.models.people import (
    ROLES,
    Erasure,
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
    SkillState,
)
from trainer.store.models.practices import PracticeDecision, PracticeRevision
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
    "Erasure",
    "EvidenceFile",
    "Exercise",
    "Export",
    "JobAnswer",
    "JobSheet",
    "JoinCode",
    "Link",
    "Meeting",
    "Model",
    "Organisation",
    "Paper",
    "PaperAnswer",
    "Person",
    "PersonRole",
    "PinnedIssuer",
    "PracticeDecision",
    "PracticeRevision",
    "SignInSession",
    "SignedHead",
    "Sitting",
    "SkillState",
    "TaughtClass",
]
