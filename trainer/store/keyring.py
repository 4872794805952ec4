"""The data keys of what is sealed: in the memory of the running program, and never anywhere else."""

from __future__ import annotations

from sqlalchemy.orm import Session

KEYS = "keyring"  # under this word each session has the keyring of its store
# What keys are of: by the number of the sitting, of the house (and the salt of its seal).
SITTINGS, OWN_ITEMS = "sittings", "own items"


class Keyring:
    """Keys by what they are of and its number. It ends with the program, and shows itself to nobody."""

    def __init__(self) -> None:
        """Begin with no key: after a start everything that is sealed is locked."""
        self._held: dict[tuple[str, int], bytes] = {}

    def hold(self, number: int, key: bytes, of: str = SITTINGS) -> None:
        """Take a key up, in the place of an earlier one."""
        self._held[of, number] = key

    def key(self, number: int, of: str = SITTINGS) -> bytes | None:
        """The key of a sitting or of a house's own items; None while that is locked."""
        return self._held.get((of, number))

    def all(self) -> dict[int, bytes]:
        """Every key of a sitting that is held."""
        return {number: key for (of, number), key in self._held.items() if of == SITTINGS}

    def forget(self, number: int, of: str = SITTINGS) -> None:
        """Let go of a key that nothing is sealed with any more, or that was taken up in vain."""
        self._held.pop((of, number), None)


def keyring_of(session: Session) -> Keyring:
    """The keyring of the store that a session reads; an empty one for a session of no store."""
    found: Keyring = session.info.setdefault(KEYS, Keyring())
    return found
