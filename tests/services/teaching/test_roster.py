"""Rosters from spreadsheets: every bad row is named, and nothing is half taken."""

from __future__ import annotations

import io
import os
import zipfile
from typing import Any

import pytest
import xlsxwriter
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from tests.make import NOW, make_class, make_people, make_person
from trainer.errors import Busy, NotAllowed, Refused, Unreadable
from trainer.languages import LANGUAGES, reading_in
from trainer.services.admitting import accounts, joining, roster_file
from trainer.services.admitting.roster_file import Row
from trainer.services.keeping import spreadsheet
from trainer.services.keeping.workbook import _TURN, MOST_CELL, MOST_COLUMNS
from trainer.services.teaching import classes, roster
from trainer.store.models import Person

GOOD = "Name,Works number,E-mail,Class\nAda,TV-21,ada@example.org,MT-1 November\nBo,TV-22,,\n"


def workbook(*rows: list[Any]) -> bytes:
    """An XLSX file with these rows."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        for at, row in enumerate(rows):
            sheet.write_row(at, 0, row)
    return out.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        GOOD.encode(),
        GOOD.encode("utf-8-sig"),
        GOOD.replace(",", ";").encode(),
        GOOD.replace(",", "\t").replace("\n", "\r\n").encode("cp1252"),
        ("\n\n" + GOOD.replace("Name", " full NAME ").replace("Works number", "works_number")).encode(),
        workbook(*[line.split(",") for line in GOOD.splitlines()]),
    ],
    ids=["comma", "bom", "semicolon", "tab", "other words", "xlsx"],
)
def test_the_same_roster_in_any_dress(data: bytes) -> None:
    """However a spreadsheet saves it, the same people are read."""
    found = [(row.name, row.works_number, row.email, row.class_title) for row in roster_file.read(data)]
    assert found == [("Ada", "TV-21", "ada@example.org", "MT-1 November"), ("Bo", "TV-22", "", "")]


def test_numbers_in_a_workbook_are_read_as_they_look() -> None:
    """A works number that the spreadsheet took for a number is read without a point."""
    rows = roster_file.read(workbook(["name", "works number"], ["Ada", 21], [], ["Bo", 22.0]))
    assert [(row.line, row.works_number) for row in rows] == [(2, "21"), (4, "22")]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\n\n\n", "empty"),
        (b"name,number,name\nA,1,B\n", "Two columns are called name"),
        (b"who,number\nA,1\n", "no column called name"),
        (b"a,b\n1,2\n", "no column called name and none called works number"),
        (b"name,works number\n", "nobody below"),
        (b'name,works number\n"Ada,TV-1\n', "cannot be read"),
        (b"\x00\x01\x02", "neither a CSV nor an XLSX"),
        (b"PK\x03\x04 no workbook", "cannot be opened"),
        (b"x" * 5_000_001, "larger than 5 MB"),
        (b"name,works number\n" + b"A,1\n" * 5_001, "more than 5000 rows"),
    ],
)
def test_what_is_no_roster_is_refused(data: bytes, says: str) -> None:
    """A file that is no roster is refused with what to do."""
    with pytest.raises(Unreadable, match=says):
        roster_file.read(data)


def test_a_workbook_that_unpacks_hugely_is_not_opened() -> None:
    """An archive of zeros is refused by what it says it unpacks to."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("xl/worksheets/sheet1.xml", bytes(51_000_000))
    assert len(out.getvalue()) < 100_000
    with pytest.raises(Unreadable, match="far more than a roster"):
        roster_file.read(out.getvalue())


def far_cell(far: str) -> bytes:
    """An XLSX file with a heading and a cell far from it."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out, {"in_memory": True}) as book:
        sheet = book.add_worksheet()
        sheet.write("A1", "name")
        sheet.write(far, "x")
    return out.getvalue()


@pytest.mark.parametrize("far", ["XFD1048576", "B1048576"])
def test_a_cell_at_the_end_of_the_sheet_ends_nothing_but_its_reading(far: str) -> None:
    """A kilobyte that asks for more memory than there is gets the sentence of what cannot be opened."""
    if far.startswith("B"):  # as many rows as a sheet has are laid out in what memory there is
        assert spreadsheet.lines(far_cell(far), "roster", 2) == [["name", ""], ["", ""]]
        return
    with pytest.raises(Unreadable, match="cannot be opened"):
        spreadsheet.lines(far_cell(far), "roster", 2)


@pytest.mark.skipif(os.name == "nt", reason="Windows bounds no memory of a process")
def test_a_sheet_that_wants_all_the_memory_of_a_laptop_is_not_laid_out() -> None:
    """Three gigabytes could be had, but not for a roster."""
    with pytest.raises(Unreadable, match="cannot be opened"):
        spreadsheet.lines(far_cell("CV1048576"), "roster", 2)


def test_a_workbook_that_reads_as_more_than_it_is_gets_no_room() -> None:
    """One text of 300 letters in 80,000 cells is small in the file and large once it is read."""
    rows = [["x" * MOST_CELL] * MOST_COLUMNS] * 400
    with pytest.raises(Unreadable, match="cannot be opened"):
        spreadsheet.lines(workbook(*rows), "roster", 400)


def test_no_more_columns_are_read_than_a_roster_may_have() -> None:
    """A heading of a million commas costs nothing but its reading."""
    wide = [f"c{number}" for number in range(MOST_COLUMNS + 9)]
    for data in (workbook(wide), ",".join(wide).encode()):
        assert spreadsheet.lines(data, "roster", 2) == [wide[:MOST_COLUMNS]]


def test_a_reader_that_does_not_come_to_an_end_is_ended(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever waits for a workbook waits so many seconds at most; the next one is read."""
    with monkeypatch.context() as hurried:
        hurried.setattr("trainer.services.keeping.workbook.SECONDS", 0.001)
        with pytest.raises(Unreadable, match="cannot be opened"):
            spreadsheet.lines(workbook(["name"]), "roster", 2)
    assert spreadsheet.lines(workbook(["name"]), "roster", 2) == [["name"]]


def test_nobody_waits_for_others_without_end(monkeypatch: pytest.MonkeyPatch) -> None:
    """Workbooks are read one at a time; whose turn does not come is told to send it again, and then it is read."""
    with monkeypatch.context() as hurried, _TURN:
        hurried.setattr("trainer.services.keeping.workbook.SECONDS", 0.001)
        with pytest.raises(Busy, match="send yours again"):
            spreadsheet.lines(workbook(["name"]), "roster", 2)
    assert spreadsheet.lines(workbook(["name"]), "roster", 2) == [["name"]]


@pytest.mark.parametrize("head", [0, 2, 9])
def test_no_more_is_read_than_may_be_taken(head: int) -> None:
    """Of a file with rows or letters without end only the first are read; empty rows before them count."""
    rows: list[list[Any]] = [*[[]] * head, *[[f"{number} {'x' * 500}"] for number in range(9)]]
    for data in (workbook(*rows), "\n".join("".join(row) for row in rows).encode()):
        found = spreadsheet.lines(data, "roster", 5)
        assert [line[0][:2] if line and line[0] else "" for line in found] == [
            "" if at < head else f"{at - head} " for at in range(5)
        ]
        assert max(len(cell) for line in found for cell in (*line, "")) <= MOST_CELL + 1


WORDS = st.text(st.characters(exclude_categories=("Cs", "Cc")), max_size=40).map(str.strip)


@given(
    st.lists(
        st.builds(Row, st.integers(1, 5000), WORDS.filter(bool), WORDS, WORDS, WORDS), min_size=1, max_size=5
    )
)
def test_a_carried_roster_is_read_back(rows: list[Row]) -> None:
    """What the preview page carries along is read back as it was, row numbers included."""
    assert roster_file.read(roster_file.written(tuple(rows)).encode()) == tuple(rows)


@given(st.binary(max_size=300))
def test_any_bytes_are_a_roster_or_a_sentence(data: bytes) -> None:
    """No file crashes the reader."""
    try:
        said = f"{len(roster_file.read(data))} people."
    except Unreadable as fault:
        said = str(fault)
    assert said.endswith(".")
    assert not said.startswith("0")


def test_every_bad_row_is_named(session: Session) -> None:
    """Each bad row is named with its number and with all that is wrong in it; good rows are shown."""
    people = make_people(session)
    gone = make_person(session, "TV-30", "Gone")
    gone.left_at = NOW
    rows = roster_file.read(
        b"name,works number,e-mail,class\n"
        b"Ada,TV-21,,\n"
        b",TV-22,no address,\n"
        b"Bo,TV-21,,\n"
        b"Cy,HK-03,,\n"
        b"Di,TV-07,,\n"
        b"Ed,TV-23,,No such class\n"
        b"Gone,TV-30,,\n"
        b"Flo,,,\n"
        b"tess,tv-07,,\n"
    )
    found = roster.check(session, people.ian, rows)
    says = {one.line: one.says for one in found.bad}
    assert [one.works_number for one in found.people] == ["TV-21"]
    assert set(says) == {3, 4, 5, 6, 7, 8, 9, 10}
    assert "name is missing" in says[3]
    assert "no e-mail address" in says[3]
    assert "stands in row 2 too" in says[4]
    assert "TV-HK-03" in says[5]
    assert "TV-07 is Tess here" in says[6]
    assert "no running class called No such class" in says[7]
    assert "marked as gone" in says[8]
    assert "works number is missing" in says[9]
    assert "stands in row 6 too" in says[10]


def test_one_bad_row_takes_nobody(session: Session) -> None:
    """A roster with one bad row enters nobody."""
    people = make_people(session)
    before = session.scalar(select(func.count()).select_from(Person))
    rows = roster_file.read(b"name,works number\nAda,TV-21\nBo,HK-03\n")
    with pytest.raises(Refused, match=r"Row 3: .* Nothing was taken"):
        roster.take(session, people.ian, rows, NOW)
    assert session.scalar(select(func.count()).select_from(Person)) == before


def test_a_roster_is_taken_twice_without_harm(session: Session) -> None:
    """Everybody is entered and put into the class; the second time nobody is new."""
    people = make_people(session)
    made = make_class(session, people.ian)
    text = GOOD + "Tess,TV-07,,mt-1 november\n"
    rows = roster_file.read(text.encode())
    ids = roster.take(session, people.ian, rows, NOW)
    assert ids[2] == people.tess
    assert [one.name for one in classes.members(session, people.ian, made.id)] == ["Tess", "Ada"]
    assert roster.take(session, people.ian, rows, NOW) == ids
    assert roster.check(session, people.ian, rows).new == 0
    ada = accounts.person_numbered(session, "tv-21")
    assert (ada.email, ada.roles, ada.passphrase_hash) == ("ada@example.org", {"trainee"}, None)


def test_only_who_may_enter_people_takes_a_roster(session: Session) -> None:
    """A trainee cannot take a roster, whatever page they find."""
    people = make_people(session)
    with pytest.raises(NotAllowed):
        roster.take(session, people.tess, roster_file.read(GOOD.split("MT-1")[0].encode()), NOW)


def test_slips_are_for_those_who_wait(session: Session) -> None:
    """Slips go to people without a passphrase whom the asker may let in; each code works."""
    people = make_people(session)
    session.get_one(Person, people.tess).passphrase_hash = "hash"
    ada = make_person(session, "TV-21", "Ada")
    wanted = roster.waiting(session, people.ian, accounts.house(people.ian))
    assert [one.name for one in session.scalars(wanted)] == ["Ian", "Ada"]
    slip = roster.slips(session, people.ian, [ada.id, ada.id], NOW, 14)
    assert [(one.name, one.works_number) for one in slip] == [("Ada", "TV-21")]
    assert joining.join(session, slip[0].code, "hash", NOW) == ada.id


SPANISH = "Nombre;Número de empleado;correo electronico;GRUPO\nAda;TV-21;ada@example.org;MT-1 November\nBo;TV-22;;\n"


@pytest.mark.parametrize("tag", LANGUAGES)
def test_a_roster_names_its_columns_in_any_language(tag: str) -> None:
    """Spanish names with or without accents are taken, whoever reads, and English ones from a Spanish reader."""
    with reading_in(tag):
        assert [row.name for row in roster_file.read(SPANISH.encode())] == ["Ada", "Bo"]
        assert roster_file.read(SPANISH.encode()) == roster_file.read(GOOD.encode())


def test_a_missing_column_is_named_as_the_reader_would() -> None:
    """In Spanish the sentence gives Spanish names."""
    with reading_in("es"), pytest.raises(Unreadable, match="número de empleado"):
        roster_file.read(b"nombre\nAda\n")
