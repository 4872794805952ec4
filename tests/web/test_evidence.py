"""Evidence files as pages: attached, saved as attachments only, not found by others, faults told."""

from __future__ import annotations

import io
from hashlib import sha256

import pytest

from tests.conftest import Browser
from tests.entering import entered
from tests.files import PDF, PRETENDING
from tests.make import People
from trainer.services.qualifying import evidence
from trainer.store import Database


@pytest.fixture
def entry_id(store: Database, people: People) -> str:
    """An entry of Tess."""
    with store.writing() as session:
        return entered(session, people.tess, people.tess, "trainee").id


def sent(browser: Browser, path: str, data: bytes, name: str = "scan.pdf") -> tuple[int, str]:
    """Send a file; the status and the page."""
    response = browser.send(path, {"file": (io.BytesIO(data), name)})
    return response.status_code, response.get_data(as_text=True)


def test_a_trainee_attaches_and_the_employer_reads(
    people: People, entry_id: str, as_tess: Browser, as_emma: Browser, as_omar: Browser
) -> None:
    """The file is saved under a name of our own, powerless, and Omar finds nothing."""
    assert sent(as_tess, f"/record/entries/{entry_id}/evidence", PDF, "<b>shift sheet</b>.pdf")[0] == 303
    page = as_tess.get(f"/record/entries/{entry_id}").get_data(as_text=True)
    assert ("b&gt;.pdf" in page, "<b>shift" in page, sha256(PDF).hexdigest() in page) == (True, False, True)
    assert "b&gt;.pdf</a>, PDF" in as_emma.get("/ledger/").get_data(as_text=True)
    for browser, path in ((as_emma, "/ledger/evidence/1"), (as_tess, "/record/evidence/1")):
        file = browser.get(path)
        assert (file.data, file.headers["Content-Disposition"]) == (
            PDF, 'attachment; filename="e1-evidence-1.pdf"',
        )  # fmt: skip
        assert file.headers["X-Content-Type-Options"] == "nosniff"
        assert file.headers["Content-Security-Policy"].startswith("sandbox")
    assert as_omar.get("/record/evidence/1").status_code == 404
    assert sent(as_omar, f"/record/entries/{entry_id}/evidence", PDF)[0] == 404


def test_the_employer_attaches(people: People, entry_id: str, as_emma: Browser) -> None:
    """Who oversees the person may attach as well."""
    assert sent(as_emma, f"/ledger/entries/{entry_id}/evidence", PDF)[0] == 303
    assert "scan.pdf" in as_emma.get(f"/ledger/entries/{entry_id}").get_data(as_text=True)


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (PRETENDING["page.pdf"], "none of the files that are kept here"),
        (b"", "The file is empty"),
        (PDF + b" " * 1000, "is larger than"),
    ],
)
def test_bad_files_get_a_sentence(
    people: People,
    entry_id: str,
    as_tess: Browser,
    as_emma: Browser,
    monkeypatch: pytest.MonkeyPatch,
    data: bytes,
    says: str,
) -> None:
    """One clear sentence at the field, and nothing kept."""
    monkeypatch.setattr(evidence, "MOST_BYTES", 1000)
    for browser, room in ((as_tess, "record"), (as_emma, "ledger")):
        status, page = sent(browser, f"/{room}/entries/{entry_id}/evidence", data)
        assert (status, says in page, "No file yet" in page) == (422, True, True)
    assert as_emma.send(f"/ledger/entries/{entry_id}/evidence").status_code == 422
    assert as_emma.get("/ledger/evidence/1").status_code == 404
