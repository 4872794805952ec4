"""Read a spreadsheet: the rows of a CSV or XLSX file as text, the way they look to who saved it.

Hostile files are met before they are opened: size first, then what the archive would unpack to.
"""

from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import dataclass

from trainer.errors import Unreadable
from trainer.languages import _
from trainer.services.keeping import workbook

MOST_BYTES = 5_000_000
MOST_UNPACKED = 50_000_000


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
        return [
            [workbook.cell(cell) for cell in row[: workbook.MOST_COLUMNS]]
            for row, _at in zip(rows, range(most), strict=False)
        ]
    except csv.Error as fault:
        raise Unreadable(
            _("The CSV file cannot be read: %(fault)s. Save it again from the spreadsheet.", fault=fault)
        ) from fault


def _workbook(data: bytes, what: str, most: int) -> list[list[str]]:
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            unpacked = sum(entry.file_size for entry in archive.infolist())
        if unpacked > MOST_UNPACKED:
            raise Unreadable(
                _("The workbook unpacks to far more than a %(what)s. Save the %(what)s alone.", what=what)
            )
        return workbook.rows(data, most)
    except (zipfile.BadZipFile, OSError, ValueError) as fault:
        raise Unreadable(_("The workbook cannot be opened. Save it again as XLSX or as CSV.")) from fault
