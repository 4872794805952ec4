"""The question bank: content files read into frozen, self-checking records."""

from trainer.bank.bank import Bank, topic_title
from trainer.bank.checklists import PracticalEntry
from trainer.bank.entries import Entry, JobEntry, PaperEntry, PowerEntry, QuestionEntry, TechniqueEntry
from trainer.bank.loading import load_bank

__all__ = [
    "Bank", "Entry", "JobEntry", "PaperEntry", "PowerEntry", "PracticalEntry", "QuestionEntry", "TechniqueEntry", "load_bank",
    "topic_title",
]  # fmt: skip
