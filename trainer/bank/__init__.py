"""The question bank: content files read into frozen, self-checking records."""

from trainer.bank.bank import Bank, Entry, JobEntry, load_bank, topic_title

__all__ = ["Bank", "Entry", "JobEntry", "load_bank", "topic_title"]
