"""Earlier records from a spreadsheet: every bad row named, all entered or none, none counts unsigned."""

from __future__ import annotations

import io
from datetime import date

import pytest
import xlsxwriter
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.entering import make_level_iii
from tests.make import NOW, People, make_class, make_people, make_person
from tests.work import calls_in
from trainer.errors import Refused, Unreadable
from trainer.languages import LANGUAGES, reading_in
from trainer.services.keeping import columns
from trainer.services.proving import ledger_check
from trainer.services.qualifying import earlier_file, earlier_records, histories
from trainer.store.models import Entry

SCHEMES = ["SNT-2020"]
GOOD = (
    "Works number;Kind;Method;Date;From;To;Hours;Mode;Level;Part;Right;Of;Specimen;Checkpoints;Marks;Shifts;Hours each\n"
    "TV-07;training;MT;;2024-03-18;2024-03-20;16;classroom;I;;;;;;;;\n"
    "tv-07;Experience;MT;2024-04-02;;;7.5;;;;;;;;;;\n"
    "TV-07;experience;MT;;2024-04-03;2024-04-12;;;;;;;;;;6;8\n"
    "TV-07;examination;MT;2024-05-06;;;;;I;general;36;40;;;;;\n"
    "TV-07;examination;MT;2024-05-07;;;;;I;practical;;24;P4;12;22;;\n"
)


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


@pytest.fixture
def level_iii(session: Session, four: People) -> int:
    """The Level III of the house, who may enter every kind used here."""
    return make_level_iii(session)


def checked(session: Session, by_id: int, text: str) -> earlier_records.Preview:
    """A file as it is previewed."""
    return earlier_records.check(session, by_id, earlier_file.read(text.encode()), NOW, SCHEMES)


def test_a_practical_part_with_several_specimens(session: Session, four: People, level_iii: int) -> None:
    """A second and a fourth specimen stand under numbered headings; a fifth has no heading."""
    head = "works number,kind,part,method,level,date"
    row = "TV-07,examination,practical,MT,I,2025-03-18"
    numbers = ("", " 2", " 4")
    more = "".join(f",specimen{n},checkpoints{n},marks{n},of{n}" for n in numbers)
    found = checked(
        session, level_iii, f"{head}{more}\n{row}" + "".join(f",P{n},12,2{n},24" for n in (1, 2, 4))
    )
    (line,) = found.lines
    assert [(one["specimen"], one["marks"]) for one in line.planned.body["specimens"]] == [
        ("P1", "21"), ("P2", "22"), ("P4", "24")
    ]  # fmt: skip
    text = earlier_file.written(earlier_file.read(f"{head}{more}\n{row},P1,12,20,24,P2,12,20,24".encode()))
    assert checked(session, level_iii, text).bad == ()
    with pytest.raises(Unreadable, match="no field called specimen 5"):
        earlier_file.read(f"{head},specimen 5\n{row},P5".encode())


def test_all_kinds_of_rows_are_entered(session: Session, four: People, level_iii: int) -> None:
    """Each row becomes the entry that the form would make; none is countersigned; the chain tells of each."""
    rows = earlier_file.read(GOOD.encode())
    preview = earlier_records.check(session, level_iii, rows, NOW, SCHEMES)
    assert (len(preview.lines), preview.bad) == (5, ())
    assert session.scalars(select(Entry)).all() == []
    entered = earlier_records.take(session, level_iii, rows, NOW, SCHEMES)
    assert [row.kind for row in entered] == [
        "training",
        "experience",
        "experience",
        "examination",
        "examination",
    ]
    assert entered[2].body["shifts"] == "6"
    assert entered[4].body["specimens"] == [
        {"specimen": "P4", "checkpoints": "12", "marks": "22", "of": "24"}
    ]
    assert not any(row.countersignatures for row in entered)
    assert len(histories.history_of(session, four.tess).entries) == 5
    assert ledger_check.walk(session).broken is None


def test_what_is_carried_reads_back(session: Session, four: People) -> None:
    """A previewed file written as CSV and read again is the same, with the numbers of its own rows."""
    rows = earlier_file.read(GOOD.encode())
    assert earlier_file.read(earlier_file.written(rows).encode()) == rows


def test_a_workbook_with_real_days_and_numbers(session: Session, four: People, level_iii: int) -> None:
    """Cells that the spreadsheet keeps as days and numbers come out as they look."""
    out = io.BytesIO()
    book = xlsxwriter.Workbook(out, {"in_memory": True})
    sheet, look = book.add_worksheet(), book.add_format({"num_format": "yyyy-mm-dd"})
    for column, head in enumerate(("works number", "kind", "method", "date", "hours")):
        sheet.write(0, column, head)
    sheet.write_row(1, 0, ("TV-07", "experience", "MT"))
    sheet.write_datetime(1, 3, date(2024, 4, 2), look)
    sheet.write_number(1, 4, 7.5)
    book.close()
    rows = earlier_file.read(out.getvalue())
    assert rows[0].typed == {"method": "MT", "date": "2024-04-02", "hours": "7.5"}
    assert earlier_records.check(session, level_iii, rows, NOW, SCHEMES).bad == ()


@pytest.mark.parametrize(
    ("row", "says"),
    [
        ("TV-99;experience;MT;2024-04-02;7.5;", "nobody with the works number TV-99"),
        ("HK-03;experience;MT;2024-04-02;7.5;", "nobody with the works number HK-03"),
        ("TV-07;magic;MT;2024-04-02;7.5;", "no such kind"),
        (";experience;MT;2024-04-02;7.5;", "nobody"),
        ("TV-07;experience;MT;2.4.2024;7.5;", "Date: "),
        ("TV-07;experience;MT;2024-04-02;7,5;", "Hours: "),
        ("TV-07;experience;MT;2024-04-02;25;", "24 h"),
        ("TV-07;experience;MT;2030-04-02;7.5;", "has not come yet"),
        ("TV-07;vision;MT;2024-04-02;;pass", "Method: "),
        ("TV-07;practice;;2024-04-02;1;", "another role"),
        ("TV-07;experience;MT;2024-04-02;7.5;" + "x" * 301, "300 characters"),
    ],
)
def test_each_bad_row_is_named(session: Session, four: People, level_iii: int, row: str, says: str) -> None:
    """The row's number and what to write; taking the file enters nothing, not even its good rows."""
    text = f"works number;kind;method;date;hours;result\nTV-07;experience;MT;2024-04-01;7.5;\n{row}\n"
    text = text.replace("result", "note") if "x" * 301 in row else text
    preview = checked(session, level_iii, text)
    assert [(one.line, says in one.says) for one in preview.bad] == [(3, True)], preview.bad
    with pytest.raises(Refused, match="Row 3"):
        earlier_records.take(session, level_iii, earlier_file.read(text.encode()), NOW, SCHEMES)
    assert session.scalars(select(Entry)).all() == []


def test_the_same_twice_is_seen_within_the_file_and_in_the_ledger(
    session: Session, four: People, level_iii: int
) -> None:
    """A doubled row stands in the way, and so does a file that was taken before."""
    line = "TV-07;experience;MT;2024-04-01;7.5\n"
    head = "works number;kind;method;date;hours\n"
    assert [one.line for one in checked(session, level_iii, head + line + line).bad] == [3]
    earlier_records.take(session, level_iii, earlier_file.read((head + line).encode()), NOW, SCHEMES)
    assert "already" in checked(session, level_iii, head + line).bad[0].says


def test_an_instructor_enters_for_own_classes_and_nobody_for_themselves(
    session: Session, four: People
) -> None:
    """Ian reaches Tess once she is in a class of his; a Level III does not import about themselves."""
    text = "works number;kind;method;date;hours\nTV-07;experience;MT;2024-04-01;7.5\n"
    assert len(checked(session, four.ian, text).bad) == 1
    make_class(session, four.ian, four.tess)
    assert checked(session, four.ian, text).bad == ()
    own = make_person(session, "TV-95", "Own", {"employer"}).id
    assert len(checked(session, own, text.replace("TV-07", "TV-95")).bad) == 1


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (b"", "empty"),
        (b"\n\n", "empty"),
        (b"works number;kind\n", "no record below"),
        (b"works number;date\nTV-07;2024-01-01\n", "no column called kind"),
        (b"works number;kind;kind\nTV-07;a;b\n", "Two columns"),
        (b"works number;kind;colour\nTV-07;training;red\n", "no field called colour"),
        (b"PK\x03\x04nothing", "cannot be opened"),
        (b"works number;kind\n" + b"TV-07;training\n" * 1001, "more than 1000"),
        (b"\0\0\0", "neither"),
    ],
)
def test_files_that_are_none(data: bytes, says: str) -> None:
    """One sentence that says what to do."""
    with pytest.raises(Unreadable, match=says):
        earlier_file.read(data)


def test_work_grows_with_the_rows_and_not_with_their_square(
    session: Session, four: People, level_iii: int
) -> None:
    """Ten times the rows cost at most some fifteen times the work."""

    def work(count: int) -> int:
        lines = [f"TV-07;experience;MT;2024-{1 + at // 28:02}-{1 + at % 28:02};7" for at in range(count)]
        rows = earlier_file.read(("works number;kind;method;date;hours\n" + "\n".join(lines)).encode())
        return calls_in(lambda: earlier_records.check(session, level_iii, rows, NOW, SCHEMES))

    work(3)
    assert work(300) < 15 * work(30)


SPANISH = (
    "número de empleado;tipo;método;fecha;horas;modalidad;nivel;contenido;parte;probeta;puntos de control;puntos;de un total de;distancia cm\n"
    "TV-07;Formación;MT;2024-04-01;8;en aula;I;teoría;;;;;;\n"
    "TV-07;examen;MT;2024-04-02;;;II;;Práctica;P4;12;22;24;\n"
)
ENGLISH = (
    "works number;kind;method;date;hours;mode;level;content;part;specimen;checkpoints;marks;of;distance_cm\n"
    "TV-07;training;MT;2024-04-01;8;classroom;I;theory;;;;;;\n"
    "TV-07;examination;MT;2024-04-02;;;II;;practical;P4;12;22;24;\n"
)


@pytest.mark.parametrize("tag", LANGUAGES)
def test_columns_and_words_may_be_of_any_language(tag: str) -> None:
    """A file in Spanish holds the same records as the one in English, whoever takes it over."""
    with reading_in(tag):
        assert earlier_file.read(SPANISH.encode()) == earlier_file.read(ENGLISH.encode())


@pytest.mark.parametrize("tag", LANGUAGES)
def test_every_column_has_a_name_of_its_own(tag: str) -> None:
    """No two fields are called alike in a language, so that a heading means one of them."""
    with reading_in(tag):
        called = [columns.plain(earlier_file.column_title(name)) for name in earlier_file.KNOWN]
    assert len(set(called)) == len(called)
