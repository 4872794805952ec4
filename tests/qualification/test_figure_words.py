"""Every figure has a name for people, in every language, and a clause shows no key."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest

from tests.qualification.making import schemes
from trainer.languages import LANGUAGES, content, reading_in
from trainer.qualification.figure_words import figure_words
from trainer.qualification.overrides import RULES
from trainer.qualification.rows import number_row
from trainer.qualification.scheme import QUANTITIES


@pytest.mark.parametrize("tag", LANGUAGES)
@pytest.mark.parametrize("key", sorted({*QUANTITIES, *RULES}))
def test_every_figure_has_a_name(key: str, tag: str) -> None:
    """Figures of schemes and of written practices are said in words; no key shines through."""
    with reading_in(tag):
        said = figure_words(key)
    assert said
    assert not set(said) & set("._")


def test_levels_are_told_apart() -> None:
    """A figure that each level has says for which it is."""
    assert figure_words("training.II") == "Training, Level II"
    with reading_in("es"):
        assert figure_words("training.direct") == "Formación, directo al Nivel II"


def test_a_clause_names_what_rests_on_memory() -> None:
    """Figures beside the deciding one that are unconfirmed are named in words, each by itself."""
    figure = replace(
        schemes()["SNT-2020"].figure("general.pass"), status="seen", clause="6", clause_read=True
    )
    beside = [replace(figure, key=key, status="memory") for key in ("general.questions", "retest.most")]
    row = number_row("x", None, Fraction(70), "pct", figure, what="X", beside=beside)
    assert row.unconfirmed
    assert row.clause.endswith(
        ", 6; General examination, fewest questions; Most retests: unconfirmed, check your copy"
    )


def test_what_a_scheme_says_in_sentences_is_spanish() -> None:
    """House rules and disputes, which pages show, are said in Spanish; each stands in the catalogue."""
    said = {text for scheme in schemes().values() for text in scheme.prose()}
    assert len(said) == 10
    with reading_in("es"):
        assert all(content(text) != text for text in said)
        ours = [
            f for one in schemes().values() for f in one.figures.values() if f.status == "ours" and f.note
        ]
        assert ours[0].cited == f"regla de la casa: {content(str(ours[0].note))}"
