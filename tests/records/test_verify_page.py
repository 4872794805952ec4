"""The self-contained page: small, closed to the network, and usable in a browser from the disk."""

from __future__ import annotations

import base64
import json
import re
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from record_cases import DAY, EXAMINER, ISSUERS, LEVEL_III, make_cosigned, make_list, make_signed

import trainer
from trainer.languages import LANGUAGES, _, reading_in
from trainer.languages.gathering import of_program
from trainer.records import jcs
from trainer.records.issuers import Issuer
from trainer.records.verification import verify
from trainer.records.verify_page import MAX_PAGE_BYTES, NO_SCRIPT, texts, verify_page
from trainer.settings import templates_folder


def test_it_is_small_and_the_same_twice() -> None:
    """With issuers the page stays under 100 kB, and the same issuers give the same bytes."""
    page = verify_page(ISSUERS)
    assert len(page) < MAX_PAGE_BYTES
    assert page == verify_page(ISSUERS)


def test_it_names_no_other_machine() -> None:
    """No address of another machine stands in it, and its policy allows no connection."""
    page = verify_page(ISSUERS).decode()
    assert not re.search(r"https?://|//cdn|@import|url\(", page)
    assert "default-src 'none'" in page


def test_a_hostile_name_stays_text() -> None:
    """An issuer's name cannot end the block it stands in."""
    page = verify_page([Issuer(ISSUERS[0].did, "</script><script>alert(1)</script>%SCRIPT%")]).decode()
    assert page.count("</script>") == 2
    assert "<script>alert" not in page
    script = page.rpartition("<script>")[2].partition("</script>")[0]
    assert base64.b64encode(sha256(script.encode()).digest()).decode() in page
    assert script.startswith('"use strict"')


def test_without_scripts_it_says_so_in_every_language() -> None:
    """Whoever opens it where scripts are off reads what to do, in each language of the house."""
    (said,) = re.findall("<noscript>(.*?)</noscript>", verify_page(ISSUERS).decode())
    for tag in LANGUAGES:
        with reading_in(tag):
            assert f'lang="{tag}">{_(NO_SCRIPT)}<' in said


def test_it_says_everything_in_every_language() -> None:
    """What it looks up is what is gathered for the catalogues, and it holds each sentence in each language."""
    found = of_program(Path(trainer.__file__).parent, templates_folder())
    assert texts() <= {text for one in found.values() for text in one.texts}
    own = {
        text for text, places in found["records"].texts.items() if all("verify_page" in one for one in places)
    }
    assert len(own) > 20
    assert own - texts() == {NO_SCRIPT}
    page = verify_page([]).decode()
    with reading_in("es"):
        assert all(
            f"{json.dumps(text)}: {json.dumps(_(text), ensure_ascii=False)}" in page for text in texts()
        )


@pytest.mark.browser
def test_each_signature_in_a_browser(chromium: Any, tmp_path: Path) -> None:
    """From the disk, with no network: each signature in the words of the command, the missing one in bold."""
    (tmp_path / "verify.html").write_bytes(verify_page(ISSUERS))
    record = jcs.written(make_cosigned(EXAMINER, LEVEL_III))
    (tmp_path / "record.json").write_bytes(record)
    page = chromium.new_context(offline=True, viewport={"width": 390, "height": 844}).new_page()
    page.goto((tmp_path / "verify.html").as_uri())
    page.get_by_label("The record").set_input_files(tmp_path / "record.json")
    page.get_by_label("Judge for the day").fill("2026-03-20")
    page.get_by_role("button", name="Verify").click()
    page.locator("#outcome h2").wait_for()
    told = verify(record, ISSUERS, DAY).signatures
    assert page.locator("#outcome li").all_inner_texts() == [f"{one.says} {one.key}" for one in told]
    assert "Not yet signed by the employer, Ina Beck." in page.locator("#outcome li.missing").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    page.context.close()


@pytest.mark.browser
@pytest.mark.parametrize(
    ("change", "lead"),
    [
        (b"", "Valid: genuine and unchanged"),
        (b"85.30", "Altered: do not rely on this file"),
        (b'"', "Unreadable: this is not a whole signed record"),
    ],
    ids=["good", "changed", "broken"],
)
def test_in_a_browser_from_the_disk(chromium: Any, tmp_path: Path, change: bytes, lead: str) -> None:
    """Opened as a file, with the keyboard's way of submitting, it says the verdict in words first."""
    (tmp_path / "verify.html").write_bytes(verify_page(ISSUERS))
    (tmp_path / "record.json").write_bytes(
        make_signed().replace(change, b"85.31") if change else make_signed()
    )
    (tmp_path / "list.json").write_bytes(make_list())
    page = chromium.new_page(viewport={"width": 390, "height": 844})
    faults: list[str] = []
    page.on("console", lambda message: faults.append(message.text) if message.type == "error" else None)
    page.on("pageerror", lambda fault: faults.append(str(fault)))
    page.goto((tmp_path / "verify.html").as_uri())
    page.get_by_label("The record").set_input_files(tmp_path / "record.json")
    page.get_by_label("status list").set_input_files(tmp_path / "list.json")
    page.get_by_label("Judge for the day").fill("2026-03-20")
    page.get_by_role("button", name="Verify").press("Enter")
    page.locator("#outcome h2").wait_for()
    assert page.locator("#outcome h2").inner_text() == lead
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    assert not faults
    page.close()


@pytest.mark.browser
def test_it_speaks_the_language_of_the_browser(chromium: Any, tmp_path: Path) -> None:
    """On a Spanish device it begins in Spanish; a press on English says form and verdict in English, and back."""
    (tmp_path / "verify.html").write_bytes(verify_page(ISSUERS))
    (tmp_path / "record.json").write_bytes(make_signed())
    page = chromium.new_page(viewport={"width": 390, "height": 844}, locale="es-MX")
    page.goto((tmp_path / "verify.html").as_uri())
    assert page.evaluate("document.documentElement.lang") == "es"
    assert page.locator("h1").inner_text() == page.title() == "Verificar un registro"
    page.get_by_label("El registro").set_input_files(tmp_path / "record.json")
    page.get_by_label("Juzgar para el día").fill("2026-03-20")
    page.get_by_role("button", name="Verificar").click()
    page.get_by_text("Válido: auténtico y sin cambios").wait_for()
    page.get_by_role("button", name="English").click()
    page.get_by_text("Valid: genuine and unchanged").wait_for()
    assert page.locator("h1").inner_text() == "Verify a record"
    assert "Válido" not in page.locator("#outcome").inner_text()
    assert page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")
    page.get_by_role("button", name="Español").click()
    page.get_by_text("Válido: auténtico y sin cambios").wait_for()
    page.close()
