"""Every named error of the house. Each is a sentence for a person that says what to do.

The front doors decide how to show one: the pages by ``status``, the command line by ``exit_code``.
Expected outcomes (a wrong answer, an altered record) are values, not errors.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar


class TrainerError(Exception):
    """Root of all errors that are meant for a person to read."""

    exit_code: ClassVar[int] = 1
    status: ClassVar[int] = 400


class Refused(TrainerError):
    """What was sent cannot be taken as it stands; the sentence says what to write instead."""

    status = 422


class Unreadable(TrainerError):
    """A file or text cannot be read at all."""

    exit_code = 2
    status = 422


class NotFound(TrainerError):
    """There is no such thing, or it is somebody else's: the two look alike on purpose."""

    exit_code = 2
    status = 404


class NotAllowed(TrainerError):
    """The person may see the thing but not do this to it."""

    status = 403


class Conflict(TrainerError):
    """The thing has moved on since the page was made (answered, handed in, countersigned)."""

    status = 409


class Busy(TrainerError):
    """Too many tries, or the store is locked: wait and try again."""

    status = 429


class NotNow(TrainerError):
    """It is held up for the moment (a pause): what was sent may come again, and will be taken then."""

    status = 503


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault of a content or history file: where it is and what to write instead."""

    file: str
    line: int
    column: int
    says: str

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}: {self.says}"


class FaultyFiles(TrainerError):
    """One or more files have faults; all of them are listed at once."""

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults
