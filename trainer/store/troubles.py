"""What a store's own faults mean to a person: somebody else is writing, the disk is full, the file is damaged."""

from __future__ import annotations

import logging

from sqlalchemy.exc import DatabaseError

from trainer.errors import Busy, NotNow

log = logging.getLogger("trainer")

TURN_MISSED = "The records are being written by somebody else just now. Wait a moment and send it again."
FULL = (
    "Nothing was kept: the disk of this trainer is full or cannot be written. Tell whoever looks after it to "
    "make room; then send it again."
)
DAMAGED = (
    "The records of this trainer are damaged. Tell whoever looks after it to stop it, keep the file as it is "
    "and bring back a backup; 'trainer selfcheck' says more."
)
AWAY = "The database server does not answer just now. Wait a moment and send it again."

# The beginnings of what SQLite and PostgreSQL say, in the order in which they are tried.
MEANINGS: tuple[tuple[tuple[str, ...], type[Busy] | type[NotNow], str], ...] = (
    (("database is locked", "database table is locked"), Busy, TURN_MISSED),
    (("canceling statement due to lock timeout",), Busy, TURN_MISSED),
    (("database or disk is full", "disk I/O error", "unable to open"), NotNow, FULL),
    (("attempt to write a readonly", "cannot execute", "could not extend"), NotNow, FULL),
    (("database disk image is malformed", "file is not a database"), NotNow, DAMAGED),
    (("connection", "server closed", "consuming input failed", "terminating"), NotNow, AWAY),
)


def raise_meaning(fault: DatabaseError) -> None:
    """Raise what a store's fault means to a person; come back where it is none of those that are known.

    What the store said goes to the log, since the sentence is for somebody who cannot mend it.
    """
    said = str(fault.orig)
    if fault.connection_invalidated:  # whatever the words: there is no way to the server any more
        log.error("the store said: %s", said.splitlines()[0])
        raise NotNow(AWAY) from fault
    for beginnings, kind, sentence in MEANINGS:
        if said.startswith(beginnings):
            if kind is NotNow:
                log.error("the store said: %s", said.splitlines()[0])
            raise kind(sentence) from fault
