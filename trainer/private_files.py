"""Files for their owner's eyes only (mode 600; Windows knows no such modes): keys, lists of issuers, own items, records.

What was said to be written is on the disk.
"""

from __future__ import annotations

import os
from pathlib import Path


def create(file: Path, content: bytes) -> None:
    """Write a file that is not there yet; nothing is left of one that could not be written to its end.

    Raises FileExistsError, before anything is touched, for one that is there; OSError where it cannot be written.
    """
    descriptor = os.open(file, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with os.fdopen(descriptor, "wb") as out:
            out.write(content)
            out.flush()
            os.fsync(out.fileno())
    except BaseException:
        file.unlink(missing_ok=True)
        raise


def replace(file: Path, content: bytes) -> None:
    """Put a file in the place of whatever is there, as a whole: no half of it is ever read.

    Raises OSError where it cannot be written; the old one then stands as it was.
    """
    part = file.with_name(f"{file.name}.{os.getpid()}.part")
    part.unlink(missing_ok=True)  # of a process of the same number that was killed
    create(part, content)
    try:
        part.replace(file)
    except OSError:
        part.unlink(missing_ok=True)
        raise
