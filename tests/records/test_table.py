"""Tables that no spreadsheet can take for a program."""

from __future__ import annotations

import csv
import io
import re
import zipfile
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from python_calamine import CalamineWorkbook
from record_cases import ENTRIES, ROWS

from trainer.errors import Refused
from trainer.records import table
from trainer.records.table import Table

MADE = datetime(2026, 3, 2, 9, 15, tzinfo=UTC)
MIXED = Table(
    "Hours",
    ("Name", "Day", "Hours", "Counts", "Note"),
    (
        ("Tess", date(2026, 3, 2), Decimal("7.25"), True, None),
        ("=1+1", date(1899, 1, 1), 3, False, "@SUM(A1)"),
        ("http://example.test", None, Decimal("-2.50"), True, "+49 151"),
        ("-5.2", None, None, True, "007"),
    ),
)
HOSTILE = [
    "=1+1",
    "+1+1",
    "-1+1",
    "@SUM(1)",
    "\tcalc",
    "\rcalc",
    "\ncalc",
    " =1+1",
    "＝1+1",
    "＋1+1",
    "－1+1",
    "＠SUM(1)",
    "=HYPERLINK(1)",
    "|calc",
    "%0A",
]


def rows_of(data: bytes) -> list[list[str]]:
    """The cells of a CSV file as a spreadsheet reads them."""
    return list(csv.reader(io.StringIO(data.decode("utf-8-sig"), newline="")))


@pytest.mark.parametrize("text", HOSTILE)
def test_csv_text_is_made_harmless(text: str) -> None:
    """A text that could act gets an apostrophe in front, in rows and in the head."""
    head, row = rows_of(table.csv_bytes(Table("t", (text,), ((text,),))))
    assert row == ["'" + text]
    assert head == ["'" + text]


@given(st.text(st.characters(exclude_categories=["Cs"])))
def test_csv_never_begins_a_formula(text: str) -> None:
    """Whatever is typed, the cell never begins a formula, unless it is a plain number."""
    cell = rows_of(table.csv_bytes(Table("t", ("c", "d"), ((text, "x"),))))[1][0]
    stripped = cell.lstrip()
    assert (
        not stripped.startswith(("=", "+", "-", "@"))
        or stripped.lstrip("+-").replace(",", ".").replace(".", "").isdigit()
    )


def test_csv_keeps_plain_numbers_and_digits() -> None:
    """Numbers keep their digits and their sign; days are ISO; nothing becomes an empty cell by mistake."""
    assert rows_of(table.csv_bytes(MIXED))[1:] == [
        ["Tess", "2026-03-02", "7.25", "yes", ""],
        ["'=1+1", "1899-01-01", "3", "no", "'@SUM(A1)"],
        ["http://example.test", "", "-2.50", "yes", "'+49 151"],
        ["-5.2", "", "", "yes", "007"],
    ]


def test_xlsx_reads_back() -> None:
    """Read by another library: text is text, days are days, decimals are numbers, no formula anywhere."""
    data = table.xlsx_bytes([MIXED], MADE)
    sheet = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name("Hours").to_python()
    assert sheet[0] == list(MIXED.columns)
    assert sheet[1] == ["Tess", date(2026, 3, 2), 7.25, "yes", ""]
    assert sheet[2] == ["=1+1", "1899-01-01", 3.0, "no", "@SUM(A1)"]
    assert sheet[4][0] == "-5.2"
    with zipfile.ZipFile(io.BytesIO(data)) as parts:
        text = b"".join(parts.read(name) for name in parts.namelist() if "sheet" in name)
    assert b"<f>" not in text
    assert b"hyperlink" not in text


@settings(max_examples=30)
@given(st.lists(st.text(max_size=40), max_size=5))
def test_any_text_and_title_give_a_workbook(texts: list[str]) -> None:
    """Control signs, forbidden titles, equal titles: the workbook opens and has a sheet for each table."""
    clean = [text.encode("utf-8", "ignore").decode() for text in texts]
    tables = [Table(text, ("c",), ((text,),)) for text in clean] or [Table("t", ("c",), ())]
    book = CalamineWorkbook.from_filelike(io.BytesIO(table.xlsx_bytes(tables, MADE)))
    assert len(book.sheet_names) == len(tables)


def test_days_of_the_calendar_of_spreadsheets_are_days() -> None:
    """Their calendar begins with 1900 (ECMA-376-1, 18.17.4.1, clause from memory); what lies before it is text."""
    days = (date(1899, 12, 31), date(1900, 3, 1), date(9999, 12, 31))
    data = table.xlsx_bytes([Table("Days", ("Day",), tuple((day,) for day in days))], MADE)
    found = CalamineWorkbook.from_filelike(io.BytesIO(data)).get_sheet_by_name("Days").to_python()
    assert found[1:] == [["1899-12-31"], [days[1]], [days[2]]]


@pytest.mark.parametrize("column", ["Hours", "x" * 40])
def test_a_column_shows_its_longest_text(column: str) -> None:
    """It is as wide as its head and its texts, and a very long one leaves room for the others."""
    for text in ("y" * 12, "y" * 400):
        data = table.xlsx_bytes([Table("t", (column,), ((text,), ("z",)))], MADE)
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            sheet = parts.read("xl/worksheets/sheet1.xml").decode()
        (width,) = (float(found) for found in re.findall(r'<col [^>]*width="([0-9.]+)"', sheet))
        longest = max(len(column), len(text))
        assert longest < width < longest + 4 if longest < 50 else 50 < width < 70


def test_the_same_bytes_twice() -> None:
    """The same table at the same stated time is the same file."""
    assert table.xlsx_bytes([MIXED], MADE) == table.xlsx_bytes([MIXED], MADE)
    assert table.csv_bytes(MIXED) == table.csv_bytes(MIXED)


def test_tables_of_a_record() -> None:
    """Ledger and standing are tables with their facts in words."""
    ledger = table.ledger_table(ENTRIES)
    assert ledger.rows[0][:3] == ("e1", "training", "2025-03-04 to 2025-03-06")
    assert "countersigned by Emma (Level III)" in str(ledger.rows[0][4])
    (noted,) = table.ledger_table([{**ENTRIES[0], "note": "In the yard."}]).rows
    assert noted == (*ledger.rows[0][:5], "In the yard.")
    standing = table.standing_table(ROWS)
    assert standing.rows[1][:5] == ("Composite", "met", Decimal("85.30"), Decimal("80"), "pct")


def test_rows_must_fit() -> None:
    """A row with a cell too many is refused."""
    with pytest.raises(Refused):
        Table("t", ("a",), (("1", "2"),))


def test_a_table_without_end_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    """One row more than a workbook holds is told before anything is written."""
    monkeypatch.setattr(table, "MAX_ROWS", 3)
    assert len(Table("Rows", ("A",), (("x",),) * 3).rows) == 3
    with pytest.raises(Refused, match="at most 3 rows"):
        Table("Rows", ("A",), (("x",),) * 4)


def test_a_sheet_keeps_its_head_in_sight() -> None:
    """The first row stays while one scrolls, and every row can be filtered by each column."""
    for rows, reach in (((("x", "y"),) * 3, b'<autoFilter ref="A1:B4"/>'), ((), b"")):
        data = table.xlsx_bytes([Table("t", ("c", "d"), rows)], MADE)
        with zipfile.ZipFile(io.BytesIO(data)) as parts:
            sheet = parts.read("xl/worksheets/sheet1.xml")
        assert b'<pane ySplit="1" topLeftCell="A2" activePane="bottomLeft" state="frozen"/>' in sheet
        assert reach in sheet
        assert (b"autoFilter" in sheet) == bool(rows)
