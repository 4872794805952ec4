"""Where records live: the database, its tables, and the steps that bring an older one up to date."""

from trainer.store.database import Database

__all__ = ["Database"]
