"""Every text of a template can be translated as it stands: nothing on a page has to be marked.

Before a template is compiled, each run of text between two tags, and each attribute that is read or spoken, is
put between ``{% trans %}`` and ``{% endtrans %}``; values inside it become its ``%(name)s``. A sentence that tags
or conditions would cut into pieces is marked by hand in the template, and a word inside an expression is
``_("word")``. A word that means two things is marked with what it is said of: ``{% trans "sitting" %}open{% endtrans %}``.
What a sentence says in a language is looked up when the template is compiled, not with every page.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator

from jinja2 import nodes
from jinja2.ext import InternationalizationExtension
from jinja2.parser import Parser

from trainer.languages import _, pgettext

# Attributes that a person reads or hears; the data- ones are sentences that scripts show.
SPOKEN = (
    *("alt", "aria-label", "placeholder", "title"),
    *("data-go", "data-kept", "data-label", "data-lost", "data-many", "data-moved", "data-none", "data-off"),
    *("data-on", "data-one", "data-over", "data-paused", "data-refused", "data-sign-in", "data-stop"),
    *("data-take", "data-wrong"),
)
# Tags that may stand inside of a sentence without cutting it.
INLINE = r"</?(?:b|i|em|strong|sub|sup|code|kbd|br)>"
_PIECES = re.compile(
    # a comment, what is marked already, and the names of classes in the block called sheet stay as they are
    r"(?P<kept>\{#.*?#\}|\{%-?\s*trans\b.*?\{%-?\s*endtrans\s*-?%\}"
    r"|\{%-?\s*block sheet\s*-?%\}.*?\{%-?\s*endblock\s*-?%\})"  # names of looks, no words
    r"|(?P<statement>\{%.*?%\})"
    r"|(?P<value>\{\{.*?\}\})"
    rf"|(?P<inline>{INLINE})"
    r"|(?P<tag><[a-zA-Z/!](?:\{\{.*?\}\}|\{%.*?%\}|\"(?:\{\{.*?\}\}|\{%.*?%\}|[^\"])*+\"|[^>])*+>)"
    r"|(?P<text>[^<{]+|.)",
    re.DOTALL,
)
_ATTRIBUTE = re.compile(
    rf'(\s(?:{"|".join(SPOKEN)})=")((?:\{{\{{.*?\}}\}}|\{{%.*?%\}}|[^"])*+)(")', re.DOTALL
)
_WORD = re.compile(r"[^\W\d_]{2,}")
_ENTITY = re.compile(r"&\w+;")
_WRITTEN_ATTRIBUTE = re.compile(r'\s*[a-z-]+="')  # one that a macro writes, outside of any tag
_PATH = re.compile(r"[a-z_]\w*(?:\.[a-z_]\w*)*", re.IGNORECASE)
_PLACE = re.compile(r"%\((\w+)\)s|%%")
LOOKED_UP: dict[str, Callable[..., str]] = {"gettext": _, "pgettext": pgettext}
Piece = tuple[str, str]


class Words(InternationalizationExtension):
    """``{% trans %}`` round every text, its sentence standing in the compiled template in the template's language."""

    def preprocess(self, source: str, name: str | None, filename: str | None = None) -> str:
        """Put every text between tags of translation."""
        return "".join(_runs(source))

    def parse(self, parser: Parser) -> nodes.Node | list[nodes.Node]:
        """Read one ``{% trans %}``; what depends on a count is looked up when it is shown."""
        found = super().parse(parser)
        if isinstance(found, nodes.Output) and isinstance(found.nodes[0], nodes.Call):
            call = found.nodes[0]
            if isinstance(call.node, nodes.Name) and call.node.name in LOOKED_UP:
                return nodes.Output(list(_said(call)), lineno=found.lineno)
        return found


def _said(call: nodes.Call) -> Iterator[nodes.Expr]:
    """The sentence in the language that is compiled for, cut where values stand."""
    assert isinstance(call.node, nodes.Name)
    text = LOOKED_UP[call.node.name](*(part.as_const() for part in call.args))
    values = {keyword.key: keyword.value for keyword in call.kwargs}
    at = 0
    for found in _PLACE.finditer(text):
        yield nodes.TemplateData(text[at : found.start()])
        yield nodes.TemplateData("%") if found[1] is None else values[found[1]]
        at = found.end()
    yield nodes.TemplateData(text[at:])


def _runs(source: str) -> Iterator[str]:
    run: list[Piece] = []
    for found in _PIECES.finditer(source):
        kind, piece = str(found.lastgroup), found[0]
        if kind in {"text", "value", "inline"} and not (kind == "value" and _alone(source, found)):
            run.append((kind, piece))
            continue
        yield _marked(run)
        run = []
        yield _ATTRIBUTE.sub(_spoken_attribute, piece) if kind == "tag" else piece
    yield _marked(run)


def _alone(source: str, found: re.Match[str]) -> bool:
    """Whether a value has its line for itself: a piece of the page then, and no part of a sentence."""
    before = source[: found.start()].rpartition("\n")[2]
    after = source[found.end() :].partition("\n")[0]
    return not before.strip() and not after.strip()


def _spoken_attribute(found: re.Match[str]) -> str:
    pieces = [(str(one.lastgroup), one[0]) for one in _PIECES.finditer(found[2])]
    if any(kind not in {"text", "value"} for kind, _piece in pieces):
        return found[0]
    return f"{found[1]}{_marked(pieces)}{found[3]}"


def _marked(run: list[Piece]) -> str:
    """One run of text and values as a sentence to translate; as it stands where there is no word in it."""
    whole = "".join(piece for _kind, piece in run)
    if not any(kind == "text" and _WORD.search(_ENTITY.sub("", piece)) for kind, piece in run):
        return whole
    if _WRITTEN_ATTRIBUTE.match(whole):
        return whole
    if sum(kind == "inline" for kind, _piece in run) and not _one_sentence(run):
        return "".join(piece if kind == "inline" else _marked(part) for kind, piece, part in _split(run))
    begin, end = len(whole) - len(whole.lstrip()), len(whole.rstrip())
    values: dict[str, str] = {}
    inner = "".join(piece if kind != "value" else _value(piece, values) for kind, piece in run).strip()
    told = ", ".join(f"{name}={expression}" for name, expression in values.items())
    return f"{whole[:begin]}{{% trans {told} %}}{inner}{{% endtrans %}}{whole[end:]}"


def _split(run: list[Piece]) -> Iterator[tuple[str, str, list[Piece]]]:
    """The run cut at its inline tags: ("inline", tag, []) or ("", "", the pieces between two of them)."""
    part: list[Piece] = []
    for kind, piece in run:
        if kind == "inline":
            yield "", "", part
            yield kind, piece, []
            part = []
        else:
            part.append((kind, piece))
    yield "", "", part


def _one_sentence(run: list[Piece]) -> bool:
    """Whether more than one of the parts between inline tags says something: then they belong together."""
    parts = ["".join(piece for _kind, piece in part).strip() for kind, _tag, part in _split(run) if not kind]
    return sum(bool(part) for part in parts) > 1


def _value(piece: str, values: dict[str, str]) -> str:
    """The place of a value in a sentence, with a name that a translator understands."""
    expression = piece.strip("{}").strip("-").strip()
    path = _PATH.match(expression)
    base = (path[0] if path else "value").replace(".", "_").strip("_")
    name, count = base, 1
    while values.setdefault(name, expression) != expression:
        count += 1
        name = f"{base}{count}"
    return f"{{{{ {name} }}}}"
