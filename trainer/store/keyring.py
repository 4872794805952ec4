"""The data keys of sealed examinations: in the memory of the running program, and never anywhere else."""

from __future__ import annotations

from sqlalchemy.orm import Session

KEYS = "keyring"  # under this word each session has the keyring of its store


class Keyring:
    """Keys by the number of the sitting. It ends with the program, and shows itself to nobody."""

    def __init__(self) -> None:
        """Begin with no key: after a start everything that is sealed is locked."""
        self._held: dict[int, bytes] = {}

    def hold(self, sitting_id: int, key: bytes) -> None:
        """Take a key up, in the place of an earlier one."""
        self._held[sitting_id] = key

    def key(self, sitting_id: int) -> bytes | None:
        """The key of a sitting; None while that is locked."""
        return self._held.get(sitting_id)

    def all(self) -> dict[int, bytes]:
        """Every key that is held."""
        return dict(self._held)

    def forget(self, sitting_id: int) -> None:
        """Let go of a key that nothing is sealed with any more."""
        self._held.pop(sitting_id, None)


def keyring_of(session: Session) -> Keyring:
    """The keyring of the store that a session reads; an empty one for a session of no store."""
    found: Keyring = session.info.setdefault(KEYS, Keyring())
    return found
