"""Qualification: ledger facts, scheme rules, and the standing they give on a day.

The room is pure: it reads no clock, no file but through the readers it is asked to run, and knows
nothing of pages or the store.
"""

from trainer.qualification.batch import Outcome, judge_batch
from trainer.qualification.conventions import CONVENTIONS
from trainer.qualification.entries import Entry, Level, Signature
from trainer.qualification.practice import (
    Difference,
    WrittenPractice,
    differences,
    read_practice_file,
    under_practice,
)
from trainer.qualification.reading.history import FaultyHistory, History, read_history, write_history
from trainer.qualification.revisions import Revisions
from trainer.qualification.rows import Row, Verdict
from trainer.qualification.scheme import Figure, Scheme
from trainer.qualification.standing import Standing, overall, standing

__all__ = [
    "CONVENTIONS",
    "Difference",
    "Entry",
    "FaultyHistory",
    "Figure",
    "History",
    "Level",
    "Outcome",
    "Revisions",
    "Row",
    "Scheme",
    "Signature",
    "Standing",
    "Verdict",
    "WrittenPractice",
    "differences",
    "judge_batch",
    "overall",
    "read_history",
    "read_practice_file",
    "standing",
    "under_practice",
    "write_history",
]
