"""Tables for spreadsheets: CSV and XLSX in which no text can act as a formula. The same table, the same bytes."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from decimal import Decimal
from typing import TYPE_CHECKING, Any

from trainer.errors import Refused
from trainer.languages import N_, _
from trainer.records.record import SAYS_VERDICT, Row, entry_days, entry_facts, entry_hands

if TYPE_CHECKING:
    from xlsxwriter import Workbook

Cell = str | int | Decimal | date | bool | None

MAX_ROWS = 1_000_000
MAX_CELL = 32_000
_ACTS = ("=", "+", "-", "@", "\t", "\r", "\n", "|", "%", "＝", "＋", "－", "＠")
_PLAIN_NUMBER = re.compile(r"[+-]?[0-9]+(?:[.,][0-9]+)?")
_SHEET_FORBIDS = re.compile(r"[\[\]:*?/\\\x00-\x1f]")
_LEDGER = (N_("Entry"), N_("Kind"), N_("Day"), N_("Facts"), N_("Hands"), N_("Note"))
_STANDING = (
    N_("Prerequisite"), N_("Verdict"), N_("Have"), N_("Need"), N_("Unit"), N_("Until"), N_("Clause"), N_("In words"),
)  # fmt: skip
_CONTROLS = re.compile(r"[\x00-\x08\x0b\x0c\x0e-\x1f\ufffe\uffff]")


@dataclass(frozen=True, slots=True)
class Table:
    """One table: its title, the names of its columns, and rows of as many cells."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]

    def __post_init__(self) -> None:
        if len(self.rows) > MAX_ROWS:
            raise Refused(
                _(
                    "A table holds at most %(most)s rows; export fewer people or a shorter time.",
                    most=MAX_ROWS,
                )
            )
        if any(len(row) != len(self.columns) for row in self.rows):
            raise Refused("Every row of a table has a cell for each column.")


def csv_bytes(table: Table) -> bytes:
    """The table as CSV: UTF-8 with a mark for spreadsheets, commas, CR LF.

    A text that a spreadsheet might take for a formula gets a leading apostrophe, unless it is a plain number.
    """
    text = io.StringIO(newline="")
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_harmless(name) for name in table.columns])
    writer.writerows([[_csv_cell(cell) for cell in row] for row in table.rows])
    return text.getvalue().encode("utf-8-sig")


def xlsx_bytes(tables: Sequence[Table], made: datetime) -> bytes:
    """The tables as one workbook, a sheet each; ``made`` is the time that the file states.

    Text stays text (never a formula, link or number), days are days, decimals are numbers.
    """
    import xlsxwriter

    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    book.set_properties({"created": made.replace(tzinfo=None)})
    for name, table in zip(_sheet_names(tables), tables, strict=True):
        _write_sheet(book, name, table)
    book.close()
    return file.getvalue()


def ledger_table(
    entries: Sequence[Mapping[str, object]],
    kind: Callable[[str], str] = str,
    facts: Callable[[Mapping[str, object]], str] = entry_facts,
) -> Table:
    """Ledger entries of one person, in the order of the ledger; ``kind`` and ``facts`` say one in words."""
    return Table(
        _("Ledger"),
        tuple(map(_, _LEDGER)),
        tuple(
            (
                str(entry["id"]),
                kind(str(entry["kind"])),
                entry_days(entry),
                facts({name: value for name, value in entry.items() if name != "note"}),
                entry_hands(entry),
                str(entry.get("note", "")),
            )
            for entry in entries
        ),
    )


def standing_table(rows: Sequence[Row]) -> Table:
    """The prerequisites as judged on one day."""
    return Table(
        _("Standing"),
        tuple(map(_, _STANDING)),
        tuple(
            (
                row.title,
                _(SAYS_VERDICT[row.verdict]),
                row.have,
                row.need,
                row.unit,
                row.until,
                row.clause,
                row.says,
            )
            for row in rows
        ),
    )


def _csv_cell(cell: Cell) -> str:
    if cell is None:
        return ""
    if isinstance(cell, bool):
        return _("yes") if cell else _("no")
    if isinstance(cell, Decimal):
        return format(cell, "f")
    if isinstance(cell, date):
        return cell.isoformat()
    return _harmless(cell) if isinstance(cell, str) else str(cell)


def _harmless(text: str) -> str:
    clean = _CONTROLS.sub("", text)[:MAX_CELL]
    acts = clean.startswith(_ACTS) or clean.lstrip().startswith(_ACTS)
    return f"'{clean}" if acts and not _PLAIN_NUMBER.fullmatch(clean) else clean


def _sheet_names(tables: Sequence[Table]) -> list[str]:
    """Sheet names that every spreadsheet takes: no forbidden signs, at most 31 characters, all different."""
    names: list[str] = []
    for number, table in enumerate(tables, start=1):
        name = _cut(_SHEET_FORBIDS.sub(" ", table.title).strip().strip("'"), 27) or "Sheet"
        taken = {one.lower() for one in names} | {"history"}
        names.append(name if name.lower() not in taken else f"{name} {number}")
    return names


def _cut(text: str, units: int) -> str:
    """Cut a text to so many UTF-16 units, the measure of spreadsheets, never through a character."""
    return text.encode("utf-16-le")[: units * 2].decode("utf-16-le", errors="ignore")


def _write_sheet(book: Workbook, name: str, table: Table) -> None:
    sheet = book.add_worksheet(name)
    head, day = book.add_format({"bold": True}), book.add_format({"num_format": "yyyy-mm-dd"})
    for place, title in enumerate(table.columns):
        sheet.write_string(0, place, title, head)
        sheet.set_column(place, place, _width(table, place))
    for line, row in enumerate(table.rows, start=1):
        for place, cell in enumerate(row):
            _write_cell(sheet, line, place, cell, day)
    sheet.freeze_panes(1, 0)
    if table.rows:
        sheet.autofilter(0, 0, len(table.rows), len(table.columns) - 1)


def _write_cell(sheet: Any, line: int, place: int, cell: Cell, day: Any) -> None:
    if cell is None or cell == "":
        return
    if isinstance(cell, bool):
        sheet.write_string(line, place, _("yes") if cell else _("no"))
    elif isinstance(cell, str):
        sheet.write_string(line, place, _CONTROLS.sub("", cell)[:MAX_CELL])
    elif isinstance(cell, date) and cell.year >= 1900:
        sheet.write_datetime(line, place, datetime(cell.year, cell.month, cell.day), day)  # noqa: DTZ001  # a day has no zone
    elif isinstance(cell, date):
        sheet.write_string(line, place, cell.isoformat())
    else:
        sheet.write_number(line, place, float(cell))


def _width(table: Table, place: int) -> int:
    texts = (table.columns[place], *(str(row[place]) for row in table.rows[:200]))
    return min(max(map(len, texts)) + 2, 60)
