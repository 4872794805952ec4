"""All tables, by noun. Import a table from here."""

from trainer.store.models.class_questions import ClassPlace, ClassQuestion
from trainer.store.models.classes import Attendance, ClassMember, Meeting, TaughtClass
from trainer.store.models.drafts import Draft, DraftAct, DraftRevision
from trainer.store.models.jobs import JobAnswer, JobSheet
from trainer.store.models.ledger import (
    Aside,
    Countersignature,
    Entry,
    EntryReading,
    EvidenceFile,
    Link,
    SignedHead,
)
from trainer.store.models.model import Model
from trainer.store.models.packs import Pack
from trainer.store.models.panels import Panel, PanelSheet
from trainer.store.models.people import (
    ROLES,
    Erasure,
    Habit,
    JoinCode,
    Organisation,
    Person,
    PersonRole,
    SignInSession,
)
from trainer.store.models.practicals import PracticalExaminer, PracticalMark, PracticalSheet, Specimen
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
from trainer.store.models.practices import PracticeDecision, PracticeRevision
from trainer.store.models.printed_papers import PrintedPaper, TypedMarks
from trainer.store.models.questions import QuestionAnswer, QuestionSheet
from trainer.store.models.records import Export, PersonalKey, PinnedIssuer, RecordSigner
from trainer.store.models.seals import OwnSeal, Seal, SealedEdition
from trainer.store.models.sittings import Appeal, IdentityCheck, Incident, Paper, PaperAnswer, Sitting

__all__ = [
    "ROLES",
    "Answer",
    "Appeal",
    "Aside",
    "Assignment",
    "Attendance",
    "ClassMember",
    "ClassPlace",
    "ClassQuestion",
    "Countersignature",
    "Draft",
    "DraftAct",
    "DraftRevision",
    "DrillSet",
    "DrillSetLine",
    "Edition",
    "Entry",
    "EntryReading",
    "Erasure",
    "EvidenceFile",
    "Exercise",
    "Export",
    "Habit",
    "IdentityCheck",
    "Incident",
    "JobAnswer",
    "JobSheet",
    "JoinCode",
    "Lesson",
    "LessonExercise",
    "Link",
    "Meeting",
    "Model",
    "Organisation",
    "OwnSeal",
    "Pack",
    "Panel",
    "PanelSheet",
    "Paper",
    "PaperAnswer",
    "Person",
    "PersonRole",
    "PersonalKey",
    "PinnedIssuer",
    "PracticalExaminer",
    "PracticalMark",
    "PracticalSheet",
    "PracticeDecision",
    "PracticeRevision",
    "PrintedPaper",
    "PrintedSheet",
    "QuestionAnswer",
    "QuestionSheet",
    "RecordSigner",
    "Seal",
    "SealedEdition",
    "SignInSession",
    "SignedHead",
    "Sitting",
    "SkillState",
    "Specimen",
    "TaughtClass",
    "TypedMarks",
]
