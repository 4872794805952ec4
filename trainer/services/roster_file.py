"""Read a roster out of a CSV or XLSX file: rows of text, with the number each has in the file.

Hostile files are met before they are opened: size first, then what the archive would unpack to.
"""

from __future__ import annotations

import csv
import io
import zipfile
from dataclasses import dataclass

from trainer.errors import Unreadable

MOST_BYTES = 5_000_000
MOST_UNPACKED = 50_000_000
MOST_ROWS = 5_000
MOST_CELL = 300
COLUMNS = ("name", "works number", "e-mail", "class")
WANTED = ("name", "works number")
ALSO_CALLED = {
    "number": "works number",
    "works no": "works number",
    "works no.": "works number",
    "no": "works number",
    "no.": "works number",
    "personnel number": "works number",
    "email": "e-mail",
    "mail": "e-mail",
    "course": "class",
    "full name": "name",
}


@dataclass(frozen=True, slots=True)
class Row:
    """One line of a roster as it stands in the file; ``line`` counts from 1, headings included."""

    line: int
    name: str
    works_number: str
    email: str = ""
    class_title: str = ""


def read(data: bytes) -> tuple[Row, ...]:
    """The rows of a roster, empty lines left out. Raises Unreadable for what is no roster."""
    if len(data) > MOST_BYTES:
        raise Unreadable(f"The file is larger than {MOST_BYTES // 1_000_000} MB. Send the roster alone.")
    if not data.strip():
        raise Unreadable("The file is empty. Choose a CSV or XLSX file with a heading row.")
    lines = _workbook(data) if data[:4] == b"PK\x03\x04" else _text(data)
    return _rows(lines)


def written(rows: tuple[Row, ...]) -> str:
    """The rows as CSV text that ``read`` reads back, for carrying a previewed roster in a form."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["line", *COLUMNS])
    for row in rows:
        writer.writerow([row.line, row.name, row.works_number, row.email, row.class_title])
    return out.getvalue()


def _rows(lines: list[list[str]]) -> tuple[Row, ...]:
    start = next((at for at, line in enumerate(lines) if any(line)), None)
    if start is None:
        raise Unreadable("The file has no rows. The first row names the columns: name, works number.")
    places = _places(lines[start])
    found: list[Row] = []
    for at, line in enumerate(lines[start + 1 :], start + 2):
        cells = {name: line[place] if place < len(line) else "" for name, place in places.items()}
        number = cells.pop("line", "")
        if any(cells.values()):
            own = int(number) if number.isascii() and number.isdigit() and len(number) < 8 else at
            found.append(Row(own, *(cells.get(name, "") for name in COLUMNS)))
    if not found:
        raise Unreadable("There is nobody below the heading row. Write one person a row.")
    if len(found) > MOST_ROWS:
        raise Unreadable(f"The roster has more than {MOST_ROWS} rows. Send it in parts.")
    return tuple(found)


def _places(heading: list[str]) -> dict[str, int]:
    """Where each column stands. Raises Unreadable when one is missing or there twice."""
    places: dict[str, int] = {}
    for place, cell in enumerate(heading):
        plain = " ".join(cell.lower().replace("_", " ").split())
        name = ALSO_CALLED.get(plain, plain)
        if name in places:
            raise Unreadable(f"Two columns are called {name}. Keep one of them.")
        if name in (*COLUMNS, "line"):
            places[name] = place
    missing = [name for name in WANTED if name not in places]
    if missing:
        raise Unreadable(
            f"The heading row has no column called {' and none called '.join(missing)}. "
            f"Name the columns: {', '.join(COLUMNS)} (the last two may be left out)."
        )
    return places


def _text(data: bytes) -> list[list[str]]:
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        text = data.decode("cp1252", "replace")  # what spreadsheets on Windows still save as "CSV"
    if "\0" in text:
        raise Unreadable("This is neither a CSV nor an XLSX file. Save the roster as one of the two.")
    first = text.lstrip().split("\n", 1)[0]
    separator = max(",;\t", key=first.count)
    try:
        rows = csv.reader(io.StringIO(text), delimiter=separator, strict=True)
        return [[_cell(cell) for cell in row] for row, _ in zip(rows, range(MOST_ROWS * 2), strict=False)]
    except csv.Error as fault:
        raise Unreadable(
            f"The CSV file cannot be read: {fault}. Save it again from the spreadsheet."
        ) from fault


def _workbook(data: bytes) -> list[list[str]]:
    from python_calamine import CalamineError, CalamineWorkbook

    try:
        with zipfile.ZipFile(io.BytesIO(data)) as archive:
            unpacked = sum(entry.file_size for entry in archive.infolist())
        if unpacked > MOST_UNPACKED:
            raise Unreadable("The workbook unpacks to far more than a roster. Save the roster alone.")
        sheet = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_index(0)
        rows = zip(sheet.iter_rows(), range(MOST_ROWS * 2), strict=False)
        skipped: list[list[str]] = [[] for _ in range(sheet.start[0] if sheet.start else 0)]
        return skipped + [[_cell(cell) for cell in row] for row, _ in rows]
    except (CalamineError, zipfile.BadZipFile, OSError, ValueError, IndexError) as fault:
        raise Unreadable("The workbook cannot be opened. Save it again as XLSX or as CSV.") from fault


def _cell(value: object) -> str:
    """A cell as text: 7.0 is 7, as it looks in the spreadsheet."""
    if isinstance(value, float) and value.is_integer() and abs(value) < 1e15:
        return str(int(value))
    return str(value)[: MOST_CELL + 1].strip()
