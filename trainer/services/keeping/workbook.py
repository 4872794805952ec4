"""The first sheet of a workbook as rows of text, read in a process of its own that may fail alone.

What reads workbooks lays a sheet out from its first cell to its last. A file of one kilobyte with something in the
last column of the last row wants half a terabyte for that, and the reader then ends its process, whichever it is.
"""

from __future__ import annotations

import json
import subprocess
import sys
from contextlib import suppress
from datetime import date, datetime, time
from io import BytesIO
from pathlib import Path
from threading import Lock

from trainer.errors import Busy
from trainer.languages import _

MOST_CELL = 300
MOST_COLUMNS = 200
MOST_WRITTEN = 20_000_000  # characters that the other process may answer with
SECONDS = 20.0
MOST_MEMORY = 1024**3  # bytes; a sheet of 50 MB of text takes less than half of it
_TURN = Lock()  # one at a time, or eight of them could fill a laptop


def rows(data: bytes, most: int) -> list[list[str]]:
    """The first ``most`` rows, the empty ones at the top too, and of each the first `MOST_COLUMNS` cells.

    Raises ValueError for what cannot be read, Busy where others are being read all the time.
    """
    command = [sys.executable, "-c", f"from {__name__} import answer; answer()", str(most)]
    if not _TURN.acquire(timeout=SECONDS):
        raise Busy(_("Another workbook is being read just now. Wait a moment and send yours again."))
    try:
        done = subprocess.run(
            command,
            input=data,
            capture_output=True,
            timeout=SECONDS,
            cwd=Path(__file__).parents[3],
            check=True,
        )
    except subprocess.SubprocessError as fault:
        raise ValueError("the reader did not come to an end") from fault
    finally:
        _TURN.release()
    read: list[list[str]] = json.loads(done.stdout)
    return read


def answer() -> None:
    """Be the other process: read a workbook from standard input, write its rows."""
    from python_calamine import CalamineWorkbook

    with suppress(ImportError):  # on Windows, where the time alone ends it
        import resource

        resource.setrlimit(resource.RLIMIT_AS, (MOST_MEMORY, MOST_MEMORY))
        resource.setrlimit(resource.RLIMIT_CORE, (0, 0))
    sheet = CalamineWorkbook.from_filelike(BytesIO(sys.stdin.buffer.read())).get_sheet_by_index(0)
    some = zip(sheet.iter_rows(), range(int(sys.argv[1])), strict=False)
    written = json.dumps([[cell(one) for one in row[:MOST_COLUMNS]] for row, _at in some])
    if len(written) > MOST_WRITTEN:
        sys.exit("too much")
    sys.stdout.write(written)


def cell(value: object) -> str:
    """A cell as text: 7.0 is 7 and a day is a day, as it looks in the spreadsheet."""
    if isinstance(value, datetime) and value.time() == time():
        value = value.date()
    if isinstance(value, time):
        return f"{value:%H:%M}"
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)[: MOST_CELL + 1].strip()
