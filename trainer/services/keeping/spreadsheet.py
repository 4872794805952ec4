"""Read a spreadsheet: the rows of a CSV or XLSX file as text, the way they look to who saved it.

Hostile files are met before they are opened: size first, then what the archive would unpack to.
"""

from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import dataclass
from datetime import date, datetime, time

from trainer.errors import Unreadable
from trainer.languages import _

MOST_BYTES = 5_000_000
MOST_UNPACKED = 50_000_000
MOST_CELL = 300


@dataclass(frozen=True, slots=True)
class BadRow:
    """A row that cannot be taken: its number in the file, and what to write instead."""

    line: int
    says: str


def lines(data: bytes, what: str, most: int) -> list[list[str]]:
    """The first ``most`` rows of a file, headings included; ``what`` names it in sentences: roster.

    Raises Unreadable for what is no spreadsheet.
    """
    if len(data) > MOST_BYTES:
        raise Unreadable(
            _(
                "The file is larger than %(most_bytes)s MB. Send the %(what)s alone.",
                most_bytes=MOST_BYTES // 1000000,
                what=what,
            )
        )
    if not data.strip():
        raise Unreadable(_("The file is empty. Choose a CSV or XLSX file with a heading row."))
    return _workbook(data, what, most) if data[:4] == b"PK\x03\x04" else _text(data, what, most)


def _text(data: bytes, what: str, most: int) -> list[list[str]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")  # what spreadsheets on Windows still save as "CSV"
    if "\0" in text:
        raise Unreadable(
            _("This is neither a CSV nor an XLSX file. Save the %(what)s as one of the two.", what=what)
        )
    first = text.lstrip().split("\n", 1)[0]
    separator = max(",;\t", key=first.count)
    try:
        rows = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
        return [[_cell(cell) for cell in row] for row, _at in zip(rows, range(most), strict=False)]
    except csv.Error as fault:
        raise Unreadable(
            _("The CSV file cannot be read: %(fault)s. Save it again from the spreadsheet.", fault=fault)
        ) from fault


def _workbook(data: bytes, what: str, most: int) -> list[list[str]]:
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            unpacked = sum(entry.file_size for entry in archive.infolist())
        if unpacked > MOST_UNPACKED:
            raise Unreadable(
                _("The workbook unpacks to far more than a %(what)s. Save the %(what)s alone.", what=what)
            )
        sheet = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0)
        rows = zip(sheet.iter_rows(), range(most), strict=False)  # with the empty ones at the top
        return [[_cell(cell) for cell in row] for row, _at in rows]
    except (CalamineError, zipfile.BadZipFile, OSError, ValueError, IndexError) as fault:
        raise Unreadable(_("The workbook cannot be opened. Save it again as XLSX or as CSV.")) from fault


def _cell(value: object) -> str:
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
