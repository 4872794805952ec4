"""The question bank: content files read into frozen, self-checking records."""

from trainer.bank.bank import Bank, Entry, JobEntry, PaperEntry, QuestionEntry
from trainer.bank.loading import load_bank

__all__ = ["Bank", "Entry", "JobEntry", "PaperEntry", "QuestionEntry", "load_bank"]
