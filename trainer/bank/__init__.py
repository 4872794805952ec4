"""The question bank: content files read into frozen, self-checking records."""

from trainer.bank.bank import Bank, Entry, JobEntry, PowerEntry, TechniqueEntry, load_bank
from trainer.bank.checklists import PracticalEntry

__all__ = ["Bank", "Entry", "JobEntry", "PowerEntry", "PracticalEntry", "TechniqueEntry", "load_bank"]
