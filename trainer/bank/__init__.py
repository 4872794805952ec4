"""The question bank: content files read into frozen, self-checking records."""

from trainer.bank.bank import Bank, Entry, JobEntry, QuestionEntry, load_bank

__all__ = ["Bank", "Entry", "JobEntry", "QuestionEntry", "load_bank"]
