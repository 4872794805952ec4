"""The certificate of record: a page to print, with the signed record attached inside the PDF.

The page is drawn from the signed document itself, so that it says what was signed and nothing else. The signature
covers the attached record, not the printed page. PDF/A-3a and PDF/UA-1 are the writer's claim (typst); they were
not validated by an independent checker. The same record and time give the same bytes.
"""

from __future__ import annotations

import io
import json
import logging
from collections.abc import Iterator
from datetime import datetime
from importlib.resources import files

from trainer.errors import Refused, Unreadable
from trainer.languages import N_, WRITTEN_IN, _, elsewhere, language, reading_in
from trainer.records import jcs, proof, signers
from trainer.records.credential import entries_in
from trainer.records.jcs import Json
from trainer.records.proof import NotGenuine
from trainer.records.record import NO_CERTIFICATE, SAYS_VERDICT, entry_days, entry_facts, entry_hands

ATTACHMENT = "record.json"
MAX_PDF_BYTES = 10_000_000
MAX_NAME = 200
TITLE = N_("Record of qualification facts")
UNTIMED, UNSIGNED = N_("no time stated"), N_("not yet signed")


def pdf(signed_record: bytes, made: datetime) -> bytes:
    """Draw the certificate of a signed record; ``made`` (with its zone) is the time the PDF states.

    Every signature stands in it with name and role, and everybody who has not signed yet. Facts stand in the words
    that were signed; for a reader of another language the labels, and what of the facts is a word of this program,
    are in both languages. A name with letters
    that the built-in font lacks is drawn with the machine's fonts and, if they lack it too, without the strict
    standard. Raises Refused if the page cannot be drawn at all, or the record was changed after signing.
    """
    facts = shown(signed_record)
    form = files("trainer.records").joinpath("certificate.typ").read_text("utf-8")
    words = elsewhere.words(elsewhere.texts(".typ", form) | set(_words_of_the_program(facts)))
    words |= {entry["kind"]: _(entry["kind"].capitalize()).lower() for entry in facts["entries"]}
    inputs = {
        "shown": json.dumps(facts, ensure_ascii=False),
        "words": json.dumps(words, ensure_ascii=False),
        "language": language(),
        "record": signed_record.decode("utf-8"),
    }
    return _drawn(form.encode(), inputs, made)


def shown(signed_record: bytes) -> dict[str, Json]:
    """What the page says of a signed record, by name: all of it in the words of the record. Raises Refused as ``pdf``."""
    document = jcs.parse(signed_record)
    try:
        return _shown(document)
    except (KeyError, TypeError, ValueError, Unreadable, NotGenuine) as fault:
        raise Refused(
            _("A certificate is drawn from a record that this program signed; this file is none.")
        ) from fault


def attached_record(document: bytes) -> bytes:
    """The signed record inside a certificate PDF; raise Unreadable if there is none or the file is hostile."""
    from pypdf import PdfReader

    logging.getLogger("pypdf").setLevel(
        logging.CRITICAL
    )  # a hostile file would write the log full, in its own words
    if len(document) > MAX_PDF_BYTES:
        raise Unreadable(_("The PDF is larger than 10 MB; no certificate of record is."))
    try:
        attached = PdfReader(io.BytesIO(document)).attachment_list
        found = [one for one in attached if ATTACHMENT in {one.name, one.alternative_name}]
        record = bytes(found[0].content) if len(found) == 1 else b""  # of a hundred none is unpacked
    except Exception:  # a hostile file calls forth any error in a reader of another's making
        raise Unreadable(_("The PDF cannot be read; ask for a fresh copy.")) from None
    if len(found) != 1:
        raise Unreadable(
            _("The PDF carries no signed record inside, so it proves nothing; ask for the record file.")
        )
    if len(record) > jcs.MAX_BYTES:
        raise Unreadable(_("The record inside the PDF is too large to be one."))
    return record


def _words_of_the_program(facts: dict[str, Json]) -> Iterator[str]:
    """What of the facts may have a translation: the rest are names, figures and clauses."""
    yield from (facts["title"], facts["caution"])
    for row in facts["rows"]:
        yield from (row["title"], row["verdict"])
    for one in facts["signatures"]:
        yield from (one["role"], one["time"])


def _drawn(source: bytes, inputs: dict[str, str], made: datetime) -> bytes:
    import typst

    strict: list[typst.PDFStandard] = ["a-3a", "ua-1"]
    for own_fonts_only, standards in ((True, strict), (False, strict), (False, [])):
        try:
            drawn = typst.compile(
                source,
                format="pdf",
                sys_inputs=inputs,
                pdf_standards=standards,
                ignore_system_fonts=own_fonts_only,
                timestamp=made.replace(microsecond=0),  # a PDF states whole seconds
            )
        except typst.TypstError:
            continue
        if isinstance(drawn, bytes):
            return drawn
    raise Refused(_("The certificate cannot be drawn; a name in it may hold signs that no font here has."))


@reading_in(WRITTEN_IN)  # what was signed is English, and what stands round it too
def _shown(document: Json) -> dict[str, Json]:
    subject = document["credentialSubject"]
    achievement = subject["achievement"]
    named = {one["identityType"]: one["identityHash"] for one in subject["identifier"]}
    return {
        "title": TITLE,
        "headline": achievement["description"],
        "person": named["identifier"][:MAX_NAME],
        "name": named.get("name", "")[:MAX_NAME],
        "what": achievement["name"],
        "practice": achievement["version"],
        "issuer": document["issuer"]["name"],
        "on": subject["on"],
        "until": document.get("validUntil", "")[:10],
        "rows": [_row(result, achievement["resultDescription"]) for result in subject["result"]],
        "entries": [_entry(entry) for entry in entries_in(document)],
        "head": _head(document),
        "signatures": _signatures(document),
        "id": document["id"],
        "caution": NO_CERTIFICATE,
    }


def _row(result: dict[str, Json], descriptions: list[dict[str, Json]]) -> dict[str, Json]:
    described = next(one for one in descriptions if one["id"] == result["resultDescription"])
    unit = described.get("unit") or ""
    need = described.get("requiredValue")
    has_figure = result["value"] not in SAYS_VERDICT.values()
    return {
        "title": described["name"],
        "verdict": SAYS_VERDICT[result["verdict"]],
        "have": f"{result['value']} {unit}".strip() if has_figure else "",
        "need": f"{need} {unit}".strip() if need is not None else "",
        "until": result["until"] or "",
        "clause": described["clause"],
    }


def _entry(entry: dict[str, Json]) -> dict[str, str]:
    return {
        "id": str(entry["id"]),
        "kind": str(entry["kind"]),
        "days": entry_days(entry),
        "facts": entry_facts(entry),
        "hands": entry_hands(entry),
    }


def _head(document: dict[str, Json]) -> str:
    for item in document.get("evidence", []):
        head = item.get("ledgerHead")
        if head:
            return f"{head['size']} links on {head['time']}, root {head['root']}"
    return ""


def _signatures(document: dict[str, Json]) -> list[dict[str, str]]:
    issuer = document["issuer"]
    expected = signers.stated(document, issuer["id"])
    told = signers.told(issuer["id"], issuer["name"], expected, proof.signatures(document), ())
    return [
        {
            "name": one.name or "a key that the record does not name",
            "role": one.role or "",
            "time": (one.created or UNTIMED) if one.is_there else UNSIGNED,
            "key": one.key,
        }
        for one in told
    ]
