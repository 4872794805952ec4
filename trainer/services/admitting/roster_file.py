"""Read a roster out of a CSV or XLSX file: rows of text, with the number each has in the file."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass

from trainer.errors import Unreadable
from trainer.languages import N_, _
from trainer.services.keeping import columns, spreadsheet

MOST_ROWS = 5_000
COLUMNS = ("name", "works number", "e-mail", "class")
WANTED = ("name", "works number")
TITLES = {
    "name": N_("Name"),
    "works number": N_("Works number"),
    "e-mail": N_("E-mail"),
    "class": N_("Class"),
}
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
    return _rows(spreadsheet.lines(data, _("roster"), MOST_ROWS * 2))


def _said(name: str) -> str:
    """The name of a column in the reader's language."""
    return _(TITLES[name]).lower() if name in TITLES else name


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
        raise Unreadable(_("The file has no rows. The first row names the columns: name, works number."))
    places = _places(lines[start])
    found: list[Row] = []
    for at, line in enumerate(lines[start + 1 :], start + 2):
        cells = {name: line[place] if place < len(line) else "" for name, place in places.items()}
        number = cells.pop("line", "")
        if any(cells.values()):
            own = int(number) if number.isascii() and number.isdigit() and len(number) < 8 else at
            found.append(Row(own, *(cells.get(name, "") for name in COLUMNS)))
    if not found:
        raise Unreadable(_("There is nobody below the heading row. Write one person a row."))
    if len(found) > MOST_ROWS:
        raise Unreadable(
            _("The roster has more than %(most_rows)s rows. Send it in parts.", most_rows=MOST_ROWS)
        )
    return tuple(found)


def _places(heading: list[str]) -> dict[str, int]:
    """Where each column stands. Raises Unreadable when one is missing or there twice."""
    called = columns.in_every_language(COLUMNS, _said) | ALSO_CALLED
    places: dict[str, int] = {}
    for place, cell in enumerate(heading):
        plain = columns.plain(cell)
        name = called.get(plain, plain)
        if name in places:
            raise Unreadable(_("Two columns are called %(name)s. Keep one of them.", name=_said(name)))
        if name in (*COLUMNS, "line"):
            places[name] = place
    missing = [name for name in WANTED if name not in places]
    if missing:
        raise Unreadable(
            _(
                "The heading row has no column called %(missing)s. Name the columns: %(columns)s (the last two "
                "may be left out).",
                missing=_(" and none called ").join(map(_said, missing)),
                columns=", ".join(map(_said, COLUMNS)),
            )
        )
    return places
