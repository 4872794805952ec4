"""Bring the catalogues of a language up to date: every sentence that can be translated, once, in its room's file.

A sentence whose English has changed is another sentence: it comes without translation, and the old one goes.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from trainer.languages import elsewhere
from trainer.languages.catalogue import SAID_OF

KEYWORDS: dict[str, Any] = {
    **dict.fromkeys(("_", "N_", "gettext")),
    **dict.fromkeys(("pgettext", "NP_"), ((1, "c"), 2)),
    "ngettext": (1, 2),
}
_PLACEHOLDER = re.compile(r"%\((\w+)\)[sd]")
_BRACES = re.compile(r"\{(\w+)\}")
WIDTH = 110
WORDS = "trainer.web.page_words.Words"  # how the pages are read, here too
PLURALS = {"es": "nplurals=2; plural=(n != 1);"}
"""How a language counts, as gettext writes it; of the Unicode rules only what whole numbers below a million need."""
HEADER = """\
# {name}: what this is, and how it is brought up to date, stands in DEVELOPERS.md.
msgid ""
msgstr ""
"Language: {tag}\\n"
"Plural-Forms: {plurals}\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"

"""
Text = str | tuple[str, str]
"""A sentence, or its forms for one and for many, behind its context where it has one."""


@dataclass(slots=True)
class Gathered:
    """The sentences of one catalogue: each with the files it stands in."""

    texts: dict[Text, list[str]] = field(default_factory=dict)

    def add(self, text: Text, place: str) -> None:
        """Note that a sentence stands in a file."""
        places = self.texts.setdefault(text, [])
        if place not in places:
            places.append(place)


@dataclass(frozen=True, slots=True)
class Count:
    """How far a catalogue is: its sentences, and those that are not translated."""

    name: str
    texts: int
    missing: tuple[Text, ...]


def of_program(package: Path, templates: Path) -> dict[str, Gathered]:
    """Gather the sentences of pages and program: catalogue name -> sentences.

    Pages go by their role ("pages-trainee"), the program by its rooms ("drills").
    """
    found: dict[str, Gathered] = {}
    for path in sorted(templates.rglob("*.html")):
        room = path.relative_to(templates).parts
        name = f"pages-{room[0]}" if len(room) > 1 else "pages-public"
        _gather(found, name, path, f"templates/{path.relative_to(templates).as_posix()}", "jinja")
    for path in sorted(package.rglob("*.py")):
        room = path.relative_to(package).parts
        if room[0] != "languages":
            name = room[0] if len(room) > 1 else "program"
            _gather(found, name, path, f"trainer/{path.relative_to(package).as_posix()}", "python")
    for path in sorted(path for pattern in elsewhere.FILES for path in package.rglob(pattern)):
        room = path.relative_to(package).parts
        for text in sorted(elsewhere.texts(path.suffix, path.read_text(encoding="utf-8"))):
            found.setdefault(room[0], Gathered()).add(text, f"trainer/{'/'.join(room)}")
    return _once(found)


def of_content(texts: Iterable[tuple[str, str, str]]) -> dict[str, Gathered]:
    """Gather the texts of content: (catalogue name, text, file it stands in)."""
    found: dict[str, Gathered] = {}
    for name, text, place in texts:
        found.setdefault(name, Gathered()).add(text, place)
    return _once(found)


def written(folder: Path, tag: str, gathered: Mapping[str, Gathered]) -> list[Count]:
    """Write the catalogues of a folder anew, with what was translated before; return how far each is."""
    known = _known(folder, tag)
    folder.mkdir(parents=True, exist_ok=True)
    for path in folder.glob("*.po"):
        if path.stem not in gathered:
            path.unlink()
    return [_write(folder / f"{name}.po", tag, one.texts, known) for name, one in sorted(gathered.items())]


def counts(folder: Path, tag: str, gathered: Mapping[str, Gathered]) -> list[Count]:
    """How far each catalogue of a folder is, nothing written."""
    known = _known(folder, tag)
    return [
        Count(name, len(one.texts), tuple(text for text in one.texts if text not in known))
        for name, one in sorted(gathered.items())
    ]


def unlike(text: Text, said: Text) -> str:
    """Say what a translation lacks that its sentence has; nothing where they go together."""
    for one in (said,) if isinstance(said, str) else said:
        for kind in (_PLACEHOLDER, _BRACES):
            wanted = {w for part in ((text,) if isinstance(text, str) else text) for w in kind.findall(part)}
            if set(kind.findall(one)) - wanted:
                return f"{sorted(set(kind.findall(one)) - wanted)[0]} is no value of this sentence"
            if isinstance(text, str) and wanted - set(kind.findall(one)):
                return f"{sorted(wanted - set(kind.findall(one)))[0]} is left out"
    return ""


def _gather(found: dict[str, Gathered], name: str, path: Path, place: str, kind: str) -> None:
    from babel.messages.extract import extract

    method = "jinja2.ext:babel_extract" if kind == "jinja" else "python"
    options = (
        {"trimmed": "true", "silent": "false", "newstyle_gettext": "true", "extensions": WORDS}
        if kind == "jinja"
        else {}
    )
    with path.open("rb") as file:
        for _line, text, _comments, context in extract(method, file, KEYWORDS, options=options):
            found.setdefault(name, Gathered()).add(_text(text, context), place)


def _text(text: Any, context: str | None = None) -> Text:
    behind = context + SAID_OF if context else ""
    return (behind + text[0], text[1]) if isinstance(text, (tuple, list)) else behind + text


def _once(found: dict[str, Gathered]) -> dict[str, Gathered]:
    """Keep each sentence in the first catalogue that has it, so that it is translated once."""
    home: dict[Text, Gathered] = {}
    for _name, one in sorted(found.items()):
        for text in list(one.texts):
            first = home.setdefault(_key(text), one)
            if first is not one:
                one.texts.pop(text)
    return {name: one for name, one in found.items() if one.texts}


def _key(text: Text) -> str:
    """What gettext looks a sentence up by."""
    return text if isinstance(text, str) else text[0]


def _known(folder: Path, tag: str) -> dict[Text, Text]:
    return {text: said for path in sorted(folder.glob("*.po")) for text, said in _read(path, tag)}


def _read(path: Path, tag: str) -> Iterator[tuple[Text, Text]]:
    from babel.messages.pofile import read_po

    with path.open("rb") as file:
        for message in read_po(file, locale=tag):
            said = message.string
            if message.id and (all(said) if isinstance(said, (tuple, list)) else said):
                yield _text(message.id, message.context), _text(said)


def _write(path: Path, tag: str, texts: Mapping[Text, list[str]], known: Mapping[Text, Text]) -> Count:
    from babel.messages.catalog import Catalog
    from babel.messages.pofile import write_po

    catalog = Catalog(locale=tag, fuzzy=False)
    catalog.mime_headers = [("Plural-Forms", PLURALS[tag])]
    for text, places in texts.items():
        said = known.get(text, ("", "") if isinstance(text, tuple) else "")
        context, _sign, first = _key(text).rpartition(SAID_OF)
        forms = first if isinstance(text, str) else (first, text[1])
        catalog.add(forms, said, [(place, 0) for place in places], context=context or None)
    with path.open("wb") as file:
        file.write(HEADER.format(name=path.stem, tag=tag, plurals=PLURALS[tag]).encode())
        write_po(file, catalog, width=WIDTH, include_lineno=False, omit_header=True)
    return Count(path.stem, len(texts), tuple(text for text in texts if text not in known))
