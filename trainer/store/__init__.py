"""Where records live: the database, its tables, and the steps that bring an older one up to date."""

from trainer.store.database import Asked, Database, Look

__all__ = ["Asked", "Database", "Look"]
