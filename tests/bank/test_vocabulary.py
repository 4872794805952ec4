"""Terms are found in plain text, longest first, also as plurals; every link of the glossary leads somewhere."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.banks import shipped_shelf
from trainer.bank import load_bank
from trainer.bank.models import Term
from trainer.bank.vocabulary import Vocabulary
from trainer.errors import FaultyFiles

WORDS = Vocabulary(
    (
        Term(term="field", means="x"),
        Term(term="field indicator", means="x"),
        Term(term="prods", means="x", also=("prod",)),
        Term(term="L over D", means="x", also=("L/D",)),
    )
)


@pytest.mark.parametrize(
    ("text", "terms"),
    [
        ("A field indicator in the field.", ["field indicator", "field"]),
        ("Field indicators; one prod, two Prods.", ["field indicator", "prods", "prods"]),
        ("Below L/D 2 it fails.", ["L over D"]),
        ("A battlefield, a field-tested prodder, fieldwork.", []),
        ("", []),
    ],
)
def test_terms_in_text(text: str, terms: list[str]) -> None:
    """The longest term wins, plurals count, parts of other words do not."""
    assert [found.term.term for found in WORDS.find(text)] == terms


def test_places_cut_the_text() -> None:
    """The places given are those of the words as written."""
    text = "Hold the Prods on."
    assert [text[found.start : found.end] for found in WORDS.find(text)] == ["Prods"]


def test_no_terms_find_nothing() -> None:
    """A bank without a glossary links nothing."""
    assert list(Vocabulary(()).find("a field")) == []


def test_shipped_terms_are_one_each() -> None:
    """No term and no other spelling stands for two terms, and anchors differ."""
    terms = shipped_shelf().bank.terms
    spellings = [word.casefold() for term in terms for word in (term.term, *term.also)]
    assert len(spellings) == len(set(spellings))
    assert len({term.anchor for term in terms}) == len(terms)


def test_a_see_also_that_leads_nowhere_is_a_fault(tmp_path: Path) -> None:
    """The check names the line of a cross-reference to a term that is not there."""
    text = "terms:\n  - term: coil\n    means: Turns of cable.\n    see: [moon]\n"
    (tmp_path / "glossary.yaml").write_text(text, encoding="utf-8")
    with pytest.raises(FaultyFiles) as caught:
        load_bank(tmp_path)
    assert [(f.line, f.says) for f in caught.value.faults] == [(4, "there is no term 'moon' in the glossary")]
