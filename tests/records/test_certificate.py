"""The certificate of record: read back from the PDF, the same bytes twice, hostile files refused."""

from __future__ import annotations

import io
from datetime import UTC, datetime
from decimal import Decimal

import pypdf
import pytest
import typst
from pypdf.generic import StreamObject
from record_cases import (
    BOSS,
    EXAMINER,
    HANDS,
    LEVEL_III,
    SHOP,
    make_cosigned,
    make_record,
    make_signed,
)

from tests.work import bytes_in
from trainer.errors import Refused, Unreadable
from trainer.languages import reading_in
from trainer.records import certificate, jcs, proof
from trainer.records.record import Person, Row

MADE = datetime(2026, 3, 2, 9, 15, tzinfo=UTC)
SIGNED = make_signed()
PDF = certificate.pdf(SIGNED, MADE)


def text_of(data: bytes) -> str:
    """All text of a PDF with single blanks."""
    return " ".join(" ".join(page.extract_text() for page in pypdf.PdfReader(io.BytesIO(data)).pages).split())


def test_the_signed_record_is_inside() -> None:
    """The attachment is the signed record byte for byte."""
    assert certificate.attached_record(PDF) == SIGNED


def test_the_same_bytes_twice() -> None:
    """Drawn twice, the certificate has the same bytes; at another time it states another time."""
    assert certificate.pdf(SIGNED, MADE) == PDF
    assert certificate.pdf(SIGNED, MADE.replace(year=2027)) != PDF


def test_it_says_what_was_signed() -> None:
    """Person, prerequisites, figures, entries, hands and the caution can be read in it."""
    text = text_of(PDF)
    for words in (
        "Record of qualification facts",
        "TV-11",
        "Łukasz",
        "85.30 pct",
        "80 pct",
        "2026-12-18",
        "Table 6.3.1",
    ):
        assert words in text
    for words in ("entered by Ian (examiner), not countersigned", "countersigned by Emma (Level III)"):
        assert words in text
    assert "Whether the person is certified is decided by the employer" in text


def test_another_reader_has_both_languages() -> None:
    """In Spanish the labels and the program's own words stand in both languages; what was signed is what it was."""
    with reading_in("es"):
        drawn = certificate.pdf(SIGNED, MADE)
    text = text_of(drawn)
    for words in (
        "Registro de hechos de cualificación Record of qualification facts",
        "Persona Person TV-11",
        "Requisito previo Prerequisite",
        "met cumplido",
        "training formación",
        "85.30 pct",
        "entered by Ian (examiner), not countersigned",
        "lo deciden el empleador y su Nivel III",
        "Whether the person is certified is decided by the employer",
        "Los datos están en inglés, tal como se firmaron",
    ):
        assert words in text
    assert certificate.attached_record(drawn) == SIGNED
    assert "cumplido" not in text_of(PDF)


def test_no_unit_stands_behind_a_verdict() -> None:
    """Where nothing is held yet, the column of figures is empty and the need still has its unit."""
    row = Row("practical", "Practical", "not_met", None, Decimal(80), "pct", None, "8.8", "none yet")
    (shown,) = certificate.shown(make_signed(rows=(row,)))["rows"]
    assert (shown["verdict"], shown["have"], shown["need"]) == ("not met", "", "80 pct")


def test_the_days_of_a_record_are_told_whole() -> None:
    """The day of the judgement and the last good day, and nothing where there is no end."""
    facts = certificate.shown(SIGNED)
    assert (facts["on"], facts["until"]) == ("2026-03-02", "2026-12-18")
    assert certificate.shown(make_signed(valid_until=None))["until"] == ""


def test_it_is_tagged_and_has_a_language() -> None:
    """Title, language, tags and the claim of both standards are in the file."""
    reader = pypdf.PdfReader(io.BytesIO(PDF))
    root = reader.trailer["/Root"]
    assert reader.metadata is not None
    assert reader.metadata.title == "Record of qualification facts, TV-11"
    assert root["/Lang"] == "en"
    assert root["/MarkInfo"]["/Marked"].value is True
    described = root["/Metadata"].get_object().get_data()
    assert b"pdfuaid:part>1" in described
    assert b"pdfaid:part>3" in described


def test_several_signers_are_named() -> None:
    """Each signature stands in it with name, role, time and key; who has not signed yet is told."""
    text = text_of(certificate.pdf(jcs.written(make_cosigned(EXAMINER, LEVEL_III)), MADE))
    assert "Ian Fell examiner 2026-03-02T10:00:00Z" in text
    assert "Emma Łuk Level III 2026-03-02T11:00:00Z" in text
    assert "Ina Beck employer not yet signed" in text
    for key in (SHOP, EXAMINER, LEVEL_III, BOSS):
        assert key.did in text


def test_the_attached_record_bears_every_signature() -> None:
    """What is inside the certificate is the record with all its signatures, byte for byte."""
    data = jcs.written(make_cosigned(*HANDS))
    assert certificate.attached_record(certificate.pdf(data, MADE)) == data


def test_a_signature_that_the_record_does_not_name() -> None:
    """A further key is told as what it is."""
    other = proof.sign(jcs.parse(SIGNED), EXAMINER, "2026-03-02T10:00:00Z")
    assert "a key that the record does not name" in text_of(certificate.pdf(jcs.written(other), MADE))


def test_no_certificate_of_a_changed_record() -> None:
    """A record that is not as it was signed is not drawn."""
    with pytest.raises(Refused, match="this file is none"):
        certificate.pdf(SIGNED.replace(b"85.30", b"95.30"), MADE)


@pytest.mark.parametrize(
    "name",
    [
        '#("a"*1000000000)',
        "#panic()",
        "*bold* _it_ $x$ `raw` @ref <label>",
        '"]#let x=1',
        "\\",
        "//comment",
        "Zoë Żółć Ωμέγα",
    ],
)
def test_names_are_text_never_markup(name: str) -> None:
    """A name that looks like markup is printed as it stands."""
    data = make_signed(person=Person("TV-11", name))
    shown = text_of(certificate.pdf(data, MADE))
    assert name.replace(" ", "")[:9] in shown.replace(" ", "")


def test_letters_that_the_font_lacks_do_not_stop_it() -> None:
    """A name in letters that the built-in font lacks still gives a certificate with the record inside."""
    data = make_signed(person=Person("TV-11", "王小明"))
    assert certificate.attached_record(certificate.pdf(data, MADE)) == data


def test_many_entries_fill_many_pages() -> None:
    """A long record runs over pages that are numbered."""
    entry = make_record().entries[0]
    data = make_signed(entries=tuple({**entry, "id": f"e{n}"} for n in range(300)))
    reader = pypdf.PdfReader(io.BytesIO(certificate.pdf(data, MADE)))
    assert len(reader.pages) > 5
    assert f"page 2 of {len(reader.pages)}" in " ".join(reader.pages[1].extract_text().split())


@pytest.mark.parametrize("data", [b"{}", b"[]", b'{"credentialSubject": 3}'])
def test_no_certificate_of_what_is_no_record(data: bytes) -> None:
    """Only a record that this program signed is drawn."""
    with pytest.raises(Refused):
        certificate.pdf(data, MADE)


def blank_pdf(*attachments: tuple[str, bytes]) -> bytes:
    """A PDF of another program."""
    writer = pypdf.PdfWriter()
    writer.add_blank_page(100, 100)
    for name, data in attachments:
        writer.add_attachment(name, data)
    file = io.BytesIO()
    writer.write(file)
    return file.getvalue()


@pytest.mark.parametrize(
    "data",
    [
        b"%PDF-1.7",
        PDF[: len(PDF) // 2],
        PDF[:200],
        blank_pdf(),
        blank_pdf(("other.json", SIGNED)),
        blank_pdf(("record.json", SIGNED), ("record.json", SIGNED)),
        blank_pdf(("record.json", b" " * 2_100_000)),
        PDF + b" " * 10_000_000,
    ],
    ids=["head", "half", "start", "no record", "other name", "two records", "large record", "large file"],
)
def test_other_pdfs_are_refused(data: bytes) -> None:
    """A PDF without exactly one record, cut or too large, gets a sentence."""
    with pytest.raises(Unreadable):
        certificate.attached_record(data)


def test_of_several_records_none_is_unpacked() -> None:
    """A small file whose attachments unpack to far more than a record costs no memory."""
    writer = pypdf.PdfWriter(io.BytesIO(blank_pdf(*[("record.json", bytes(20_000_000))] * 2)))
    for number, one in enumerate(writer._objects):
        if isinstance(one, StreamObject):
            writer._objects[number] = one.flate_encode()
    file = io.BytesIO()
    writer.write(file)
    assert len(file.getvalue()) < 100_000

    def read() -> None:
        with pytest.raises(Unreadable, match="no signed record"):
            certificate.attached_record(file.getvalue())

    assert bytes_in(read) < 10_000_000


def test_a_pdf_packed_in_an_unknown_way_is_refused() -> None:
    """One letter of the name of its packing is enough."""
    with pytest.raises(Unreadable, match="cannot be read"):
        certificate.attached_record(PDF.replace(b"/FlateDecode", b"/FlqteDecode"))


def test_what_is_wrong_in_a_pdf_is_not_told_to_the_log(caplog: pytest.LogCaptureFixture) -> None:
    """A spoilt certificate cannot write the log full, nor put words of its own into it."""
    assert certificate.attached_record(PDF.replace(b"startxref\n", b"startxref\n1")) == SIGNED
    assert caplog.records == []


def test_a_record_without_a_head_has_none() -> None:
    """The line of the ledger's head is empty where the record carries none."""
    document = jcs.parse(SIGNED)
    assert "links on" in certificate._head(document)
    evidence = [{**one, "ledgerHead": None} for one in document["evidence"]]
    assert certificate._head({**document, "evidence": evidence}) == ""
    assert certificate._head({}) == ""


def test_a_certificate_that_cannot_be_drawn_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    """The three ways are tried in turn, the strictest first; where none works there is a sentence."""
    tried: list[tuple[bool, int]] = []

    def fails(*_: object, ignore_system_fonts: bool, pdf_standards: list[str], **_more: object) -> object:
        tried.append((ignore_system_fonts, len(pdf_standards)))
        if len(tried) == 2:
            return None
        raise typst.TypstError("no font")

    monkeypatch.setattr(typst, "compile", fails)
    with pytest.raises(Refused, match="cannot be drawn"):
        certificate.pdf(SIGNED, MADE)
    assert tried == [(True, 2), (False, 2), (False, 0)]
