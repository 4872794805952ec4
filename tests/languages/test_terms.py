"""One Spanish word for one thing, in program, pages and bank: the list of question_bank/languages/es/README.md."""

from __future__ import annotations

import re
from collections import defaultdict

import pytest

from tests.languages.sentences import Sentence, in_spanish

VALUE = re.compile(r"%\(\w+\)[sd]|\{\w+\}|<[^>]+>")

# English -> what its Spanish holds, or how it does without: the yoke that was just named is "el de CA".
TERMS = {
    r"\bampere-turns?\b": r"amperios?-vuelta",
    r"\bprods?\b": r"punta|separación",
    r"\byokes?\b": r"yugo|\b(uno|el|los) de (C[AC]|imán|batería)",
    r"\bcentral conductor": r"conductor central",
    r"\bfill factor": r"factor de llenado",
    r"\bhalf-wave\b": r"media onda|semionda",
    r"\bfull[- ]wave\b": r"onda completa",
    r"(?<!de)magnetiz": r"magneti[zc]",
    r"\bdemagnetiz": r"desmagneti[zc]",
    r"\bleakage field": r"campos? de fuga",
    r"\bskin depth": r"profundidad(es)? de penetración",
    r"\bfield indicator": r"indicador(es)?( sencillo)? de campo",
    r"\bretentiv": r"reten|retien",
    r"\bpermeability": r"permeabilidad",
    r"\bcircular mils?\b": r"\bmils? circular",
    r"\bmilliohms?\b": r"miliohmio",
    r"\bcountersign": r"refr[eé]nd",
    r"\bnear[- ]vision": r"visión de cerca",
    r"\bcomposite grade": r"nota compuesta",
    r"\bdrill sets?\b": r"\bseries?\b",
    r"\bjoin slips?\b": r"\bvales?\b",
    r"\bpassphrase": r"contraseña",
    r"\bworks number": r"número de empleado",
    r"\bstatus list": r"listas? de estado",
}

# Words that are good Spanish and would be a second word for a thing that has one here.
NOT_BESIDE = {
    r"imanaci|imanta": "magnetización",
    r"\bfisura": "grieta",
    r"\bbaños?\b": "suspensión",
    r"\bvehículo": "líquido portador",
    r"ráfaga": "descarga",
    r"(?<!ley de )\b(mili)?ohms?\b": "ohmio",
    r"miles circulares|circular mils": "mils circulares",
    r"pinzas? de contacto": "mordaza de contacto",
    r"bobinas? de mano": "bobina manual",
    r"en el medio del agujero": "en el centro del agujero",
    r"calific": "corregir, juzgar, puntuar; cualificar",
    r"\brecurso\b": "reclamación",
    r"ordenador|computador": "programa informático",
    r"\b(tú|tus?|ti|vos|contigo|vuestr\w+)\b": "usted, su",
    r"\b(el|del|al) UV\b": "la UV",
}


@pytest.mark.parametrize("term", TERMS)
def test_a_term_has_its_word(term: str) -> None:
    """Where a sentence has a term of the trade or of this program, its Spanish has the word that goes with it."""
    met = [one for one in in_spanish() if re.search(term, VALUE.sub("", one.english), re.I)]
    assert met
    assert [one for one in met if not re.search(TERMS[term], one.spanish, re.I)] == []


@pytest.mark.parametrize("word", NOT_BESIDE)
def test_no_second_word(word: str) -> None:
    """No sentence has another word for what has one here."""
    assert [one for one in in_spanish() if re.search(word, VALUE.sub("", one.spanish), re.I)] == [], (
        NOT_BESIDE[word]
    )


def test_what_figures_say_is_what_the_bank_says() -> None:
    """A name that stands in a drawing and in the list beside it is the same word in both."""
    said: defaultdict[str, set[str]] = defaultdict(set)
    for one in in_spanish():
        if one.of_bank or one.catalogue == "drawing":
            said[one.english].add(one.spanish)
    assert {english: words for english, words in said.items() if len(words) > 1} == {}


def test_questions_are_opened() -> None:
    """A question or a call has its sign at the beginning too."""

    def open_ended(one: Sentence) -> bool:
        text = VALUE.sub("", one.spanish)
        return text.count("¿") != text.count("?") or text.count("¡") != text.count("!")

    assert [one for one in in_spanish() if open_ended(one)] == []
