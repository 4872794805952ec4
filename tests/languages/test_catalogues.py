"""The catalogues that are shipped: complete as far as they say, up to date, and like their sentences."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from babel.messages.pofile import read_po

import trainer
from trainer.cli.languages import content_texts
from trainer.languages import LANGUAGES, WRITTEN_IN
from trainer.languages.catalogue import SAID_OF, folders, table
from trainer.languages.gathering import Gathered, Text, of_content, of_program, unlike, written
from trainer.settings import templates_folder

TAGS = [tag for tag in LANGUAGES if tag != WRITTEN_IN]
PACKAGE = Path(trainer.__file__).parent
TAG_OF_MARKUP = re.compile(r"</?\w+[^>]*>")


@pytest.fixture(scope="module")
def gathered() -> tuple[dict[str, Gathered], dict[str, Gathered]]:
    """Every sentence of the program and of the shipped bank."""
    return of_program(PACKAGE, templates_folder()), of_content(content_texts())


def entries(path: Path, tag: str) -> dict[Text, Text]:
    """What a catalogue says of each of its sentences."""
    with path.open("rb") as file:
        return {_text(m.id, m.context or ""): _text(m.string) for m in read_po(file, locale=tag) if m.id}


def _text(text: object, context: str = "") -> Text:
    behind = context + SAID_OF if context else ""
    if isinstance(text, (tuple, list)):
        return behind + str(text[0]), str(text[1])
    return behind + str(text)


@pytest.mark.parametrize("tag", TAGS)
def test_catalogues_hold_what_the_program_says(
    tag: str, gathered: tuple[Mapping[str, Gathered], Mapping[str, Gathered]]
) -> None:
    """Each sentence stands in its catalogue and no other does; if this fails, run `trainer languages`."""
    for folder, wanted in zip(folders(tag), gathered, strict=True):
        assert {path.stem for path in folder.glob("*.po")} == set(wanted)
        for name, one in wanted.items():
            assert set(entries(folder / f"{name}.po", tag)) == set(one.texts), name


@pytest.mark.parametrize("tag", TAGS)
def test_nothing_is_left_untranslated(tag: str) -> None:
    """Every sentence of pages, program and bank says something in every language; `trainer languages` names the rest."""
    for path in (path for folder in folders(tag) for path in folder.glob("*.po")):
        empty = [
            text
            for text, said in entries(path, tag).items()
            if not (said if isinstance(said, str) else all(said))
        ]
        assert empty == [], path.name


@pytest.mark.parametrize("tag", TAGS)
def test_translations_go_with_their_sentences(tag: str) -> None:
    """Values, tags and quotation marks of a translation are those of its sentence, so that no page can break."""
    for path in (path for folder in folders(tag) for path in folder.glob("*.po")):
        for text, said in entries(path, tag).items():
            if not said or said == ("", ""):
                continue
            assert unlike(text, said) == "", (path.name, text)
            for english, other in _pairs(text, said):
                assert sorted(TAG_OF_MARKUP.findall(english)) == sorted(TAG_OF_MARKUP.findall(other)), english
                assert '"' in english or '"' not in other, english
                assert other.strip() == other or english.strip() != english, english


def _pairs(text: Text, said: Text) -> list[tuple[str, str]]:
    if isinstance(text, str):
        return [(text, str(said))]
    return [(text[0 if place == 0 else 1], one) for place, one in enumerate(said)]


def test_a_word_in_two_contexts_is_two_entries(tmp_path: Path) -> None:
    """What is written with a context comes back with it, to the gathering and to the reader."""
    templates = tmp_path / "templates"
    templates.mkdir()
    (templates / "page.html").write_text(
        '<b>Part</b>{% trans "examination" %}Part{% endtrans %}', encoding="utf-8"
    )
    (tmp_path / "code.py").write_text(
        'pgettext("work piece", "Part"); NP_("skill", "Part")', encoding="utf-8"
    )
    found = of_program(tmp_path, templates)
    contexts = ("", "examination\x04", "work piece\x04", "skill\x04")
    assert {text for one in found.values() for text in one.texts} == {f"{one}Part" for one in contexts}

    written(tmp_path / "es", "es", found)
    path = tmp_path / "es" / "pages-public.po"
    plain = path.read_text(encoding="utf-8")
    assert plain.count('msgid "Part"') == 2
    path.write_text(
        plain.replace(
            'msgctxt "examination"\nmsgid "Part"\nmsgstr ""',
            'msgctxt "examination"\nmsgid "Part"\nmsgstr "Parte"',
        ),
        encoding="utf-8",
    )
    written(tmp_path / "es", "es", found)
    assert entries(path, "es") == {"Part": "", "examination\x04Part": "Parte"}
    said = table("es", tmp_path / "es")
    assert (said.pgettext("examination", "Part"), said.gettext("Part")) == ("Parte", "Part")


def test_gathering_keeps_what_was_translated(tmp_path: Path) -> None:
    """A sentence keeps its translation when it moves to another catalogue; a changed one comes empty."""
    first = {"b": Gathered({"One": ["x"], ("%(n)s thing", "%(n)s things"): ["x"], "Old": ["x"]})}
    written(tmp_path, "es", first)
    path = tmp_path / "b.po"
    path.write_text(
        path.read_text(encoding="utf-8")
        .replace('msgid "One"\nmsgstr ""', 'msgid "One"\nmsgstr "Uno"')
        .replace('msgstr[0] ""\nmsgstr[1] ""', 'msgstr[0] "%(n)s cosa"\nmsgstr[1] "%(n)s cosas"'),
        encoding="utf-8",
    )
    told = written(tmp_path, "es", {"a": Gathered({"One": ["y"], "New": ["y"]}), "b": Gathered({("%(n)s thing", "%(n)s things"): ["x"]})})  # fmt: skip
    assert entries(tmp_path / "a.po", "es") == {"One": "Uno", "New": ""}
    assert entries(path, "es") == {("%(n)s thing", "%(n)s things"): ("%(n)s cosa", "%(n)s cosas")}
    assert [(one.name, one.texts, one.missing) for one in told] == [("a", 2, ("New",)), ("b", 1, ())]


@pytest.mark.parametrize(
    ("text", "said", "wrong"),
    [
        ("Most %(n)s", "Máximo %(n)s", ""),
        ("Most %(n)s", "Máximo", "n is left out"),
        ("Most %(n)s", "Máximo %(m)s", "m is no value of this sentence"),
        ("From {low}", "Desde {alto}", "alto is no value of this sentence"),
        (("%(n)s mark", "%(n)s marks"), ("un punto", "%(n)s puntos"), ""),
    ],
)
def test_values_are_compared(text: Text, said: Text, wrong: str) -> None:
    """A value that is left out or misspelt is named; the form for one thing may do without the number."""
    assert unlike(text, said) == wrong
