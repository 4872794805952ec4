"""Read earlier records out of a CSV or XLSX file: one ledger entry a row, in the words of the history format."""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from functools import partial

from trainer.errors import Unreadable
from trainer.languages import N_, _, pgettext
from trainer.qualification.reading.entry import KINDS
from trainer.services.keeping import columns, spreadsheet
from trainer.services.qualifying import entry_words, typed_entries

MOST_ROWS = 1_000
ALWAYS = ("works_number", "kind")
# The practical part of an examination has its specimens under these headings; the second has a 2 behind each.
SPECIMEN = ("specimen", "checkpoints", "marks", "of")
SPECIMENS = {
    f"{name}_{number}" if number > 1 else name: f"{name}-{number}"
    for number in range(1, typed_entries.SPECIMENS + 1)
    for name in SPECIMEN
}
"""Each heading, and the field of the entry form that it fills."""
KNOWN = frozenset(
    {*ALWAYS, *SPECIMENS, *(name for kind in KINDS for name in typed_entries.fields(kind))} - {"reverses"}
)
TITLES = {
    "works_number": N_("Works number"),
    "kind": N_("Kind"),
    "date": N_("Date"),
    "from": N_("From"),
    "to": N_("To"),
}
ALSO_CALLED = {"number": "works_number", "works_no": "works_number", "out_of": "of", "day": "date"}


@dataclass(frozen=True, slots=True)
class Row:
    """One line of the file; ``line`` counts from 1, headings included. ``typed`` holds the fields written."""

    line: int
    works_number: str
    kind: str
    typed: dict[str, str]


def read(data: bytes) -> tuple[Row, ...]:
    """The rows of a file of earlier records, empty lines left out. Raises Unreadable for what is none."""
    lines = spreadsheet.lines(data, _("file of earlier records"), MOST_ROWS * 2)
    start = next((at for at, line in enumerate(lines) if any(line)), None)
    if start is None:
        raise Unreadable(
            _("The file has no rows. The first row names the columns: works number, kind, date.")
        )
    names = _names(lines[start])
    words = _words()
    rows = [
        _row(at, names, line, words) for at, line in enumerate(lines[start + 1 :], start + 2) if any(line)
    ]
    if not rows:
        raise Unreadable(_("There is no record below the heading row. Write one a row."))
    if len(rows) > MOST_ROWS:
        raise Unreadable(_("The file has more than %(most)s records. Send it in parts.", most=MOST_ROWS))
    return tuple(rows)


def written(rows: tuple[Row, ...]) -> str:
    """The rows as CSV text that ``read`` reads back, for carrying a previewed file in a form."""
    names = sorted({name for row in rows for name in row.typed})
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["line", *ALWAYS, *names])
    for row in rows:
        writer.writerow([row.line, row.works_number, row.kind, *(row.typed.get(name, "") for name in names)])
    return out.getvalue()


def _words() -> dict[str, dict[str, str]]:
    """Of each field with words to choose from, what each word may be called."""
    kinds = columns.in_every_language(entry_words.KIND_WORDS, lambda kind: _(entry_words.KIND_WORDS[kind]))
    chosen = entry_words.CHOSEN.items()
    return {name: columns.in_every_language(words, partial(pgettext, name)) for name, words in chosen} | {
        "kind": kinds
    }


def _row(at: int, names: list[str], line: list[str], words: dict[str, dict[str, str]]) -> Row:
    cells = {name: cell for name, cell in zip(names, line, strict=False) if name and cell}
    for name in cells.keys() & words.keys():
        cells[name] = words[name].get(columns.plain(cells[name]), cells[name])
    number, kind = cells.pop("works_number", ""), cells.pop("kind", "").lower()
    own = cells.pop("line", "")
    return Row(int(own) if own.isascii() and own.isdigit() and len(own) < 8 else at, number, kind, cells)


def column_title(name: str) -> str:
    """The name of a column in the reader's language: what it is called in this file, else the field's label."""
    if name in SPECIMENS:
        first, _sign, number = name.partition("_")
        return " ".join(filter(None, (entry_words.label(first), number)))
    return _(TITLES[name]).lower() if name in TITLES else entry_words.label(name)


def _names(heading: list[str]) -> list[str]:
    """The field under each column. Raises Unreadable for one unknown, missing or there twice."""
    called = columns.in_every_language(sorted(KNOWN), column_title)
    names: list[str] = []
    for cell in heading:
        plain = columns.plain(cell)
        name = called.get(plain, plain.replace(" ", "_"))
        name = ALSO_CALLED.get(name, name)
        if name and name in names:
            raise Unreadable(_("Two columns are called %(name)s. Keep one of them.", name=column_title(name)))
        if name and name not in KNOWN | {"line"}:
            raise Unreadable(
                _(
                    "There is no field called %(cell)s. Name the columns after the fields of the entry "
                    "forms, for instance: works number, kind, method, date, hours, mode, level.",
                    cell=cell[:40],
                )
            )
        names.append(name)
    missing = [column_title(name) for name in ALWAYS if name not in names]
    if missing:
        named = _(" and none called ").join(missing)
        raise Unreadable(_("The heading row has no column called %(names)s.", names=named))
    return names
