"""What is said about an error that nobody foresaw: a reference, and where the details were kept."""

from __future__ import annotations

import secrets
import traceback
from datetime import UTC, datetime
from pathlib import Path

LOG_FOLDER = "logs"
LOG_FILE = "commands.log"
MOST_BYTES = 1_000_000


def sentence_for(surprise: BaseException, instance: Path | None) -> str:
    """Keep the trace of a surprise and give the sentence that is shown instead of it.

    The log is written only where an instance folder exists already; else the trace is shown.
    """
    reference = secrets.token_hex(4).upper()
    trace = "".join(traceback.format_exception(surprise))
    kept = keep(reference, trace, instance)
    if kept is None:
        return f"{trace}\nSomething went wrong inside the program. Please report the lines above."
    return (
        f"Something went wrong inside the program (reference {reference}). Nothing more was done. "
        f"The details are in {kept}; report them with the reference."
    )


def keep(reference: str, trace: str, instance: Path | None) -> Path | None:
    """Add a trace to the log of an instance; None where that cannot be done."""
    if instance is None or not instance.is_dir():
        return None
    file = instance / LOG_FOLDER / LOG_FILE
    try:
        file.parent.mkdir(exist_ok=True)
        if file.exists() and file.stat().st_size > MOST_BYTES:
            file.replace(file.with_suffix(".old.log"))
        with file.open("a", encoding="utf-8") as log:
            log.write(f"{datetime.now(UTC):%Y-%m-%d %H:%M:%S} UTC  reference {reference}\n{trace}\n")
    except OSError:
        return None
    return file
