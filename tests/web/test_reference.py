"""Formula sheets and glossary: for every role, each link resolves, terms in prompts are linked, formulas stay whole."""

from __future__ import annotations

import re

import pytest
from flask import Flask, g

from tests.banks import shipped_shelf
from tests.conftest import Browser
from tests.web.test_practice import begin
from trainer.bank import Bank
from trainer.bank.vocabulary import Vocabulary
from trainer.web.sheets.wording import linked

LINK = re.compile(r'<a class="word" href="/reference/words#([^"]+)">([^<]+)</a>')


@pytest.fixture(scope="module")
def bank() -> Bank:
    """The bank that is shipped."""
    return shipped_shelf().bank


def prompts(bank: Bank) -> list[str]:
    """Every text of drills and jobs that a page shows as running text, and every caution."""
    drills = [e.drill for e in bank.drills.values()]
    texts = [t for d in drills for t in (*(s.text for s in d.situations), *d.limits, *d.disagreements)]
    jobs = [e.job for e in bank.jobs.values()]
    texts += [t for j in jobs for t in (*(s.text for s in j.situations), *(p.text for p in j.parts))]
    return texts + [caution.text for caution in bank.cautions.values()]


def test_each_role_reads_sheets_and_words(
    as_tess: Browser, as_ian: Browser, as_emma: Browser, nobody: Browser
) -> None:
    """The menu of every role leads to both lists; somebody signed out is asked to sign in."""
    for browser in (as_tess, as_ian, as_emma):
        page = browser.get("/reference/sheets").get_data(as_text=True)
        assert 'href="/reference/sheets" aria-current="page"' in page
        for topic in re.findall(r'href="(/reference/sheets/[^"]+)"', page):
            assert "<math" in browser.get(topic).get_data(as_text=True), topic
        assert "What does this word mean?" in browser.get("/reference/words").get_data(as_text=True)
    assert nobody.get("/reference/sheets").status_code == 303


def test_an_unknown_sheet_is_not_found(as_tess: Browser) -> None:
    """A topic that the bank has not is not found, with a sentence."""
    for name in ("moon", "..", "x" * 500):
        assert as_tess.get(f"/reference/sheets/{name}").status_code == 404
    assert "names them all" in as_tess.get("/reference/sheets/moon").get_data(as_text=True)


def test_every_term_used_in_a_prompt_is_linked_once(app: Flask, bank: Bank) -> None:
    """Each text of the bank alone on a page: every term of the list that it uses is linked at its first place."""
    words, anchors = Vocabulary(bank.terms), {term.anchor for term in bank.terms}
    for text in prompts(bank):
        with app.test_request_context("/"):
            html = str(linked(text, words))
        links = LINK.findall(html)
        assert [anchor for anchor, _ in links] == list(dict.fromkeys(f.term.anchor for f in words.find(text)))
        assert {anchor for anchor, _ in links} <= anchors
        assert len(re.sub(r"<[^>]*>", "", html)) >= len(text)


def test_a_page_links_a_term_once(app: Flask, bank: Bank) -> None:
    """The second text of a page does not link what the first has linked."""
    words = Vocabulary(bank.terms)
    with app.test_request_context("/"):
        assert LINK.findall(str(linked("Set the prods on a yoke.", words)))
        assert [text for _, text in LINK.findall(str(linked("A prod, a yoke, a shim.", words)))] == ["shim"]
        assert len(g.words_linked) == 3


def test_text_of_people_stays_text(app: Flask, bank: Bank) -> None:
    """Markup in a text is escaped around the links, never let through."""
    with app.test_request_context("/"):
        html = str(linked("<b>prods</b> & <script>", Vocabulary(bank.terms)))
    assert "&lt;b&gt;<a" in html
    assert "&amp; &lt;script&gt;" in html


def test_the_exercise_links_its_words(as_tess: Browser, app: Flask) -> None:
    """Links of a page lead to anchors of the glossary page; formulas hold none."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    as_tess.send(f"/trainee/practice/{number}", {"answer": "1 A"})
    page = as_tess.get(f"/trainee/practice/{number}/verdict").get_data(as_text=True)
    glossary = as_tess.get("/reference/words").get_data(as_text=True)
    anchors = set(re.findall(r'<div id="([^"]+)">', glossary))
    assert {anchor for anchor, _ in LINK.findall(page)} <= anchors
    assert not any("<a" in math for math in re.findall(r"<math.*?</math>", page, re.DOTALL))
