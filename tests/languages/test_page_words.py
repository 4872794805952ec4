"""Text on a page is found and cut into sentences as a translator wants them."""

from __future__ import annotations

from collections.abc import Iterator
from gettext import NullTranslations

import pytest
from jinja2 import DictLoader, Environment

from trainer import languages
from trainer.languages import reading_in
from trainer.web.page_words import Words

HELD = {"who": "Tess", "me": {"name": "<b>Ian</b>"}, "n": 3, "right": True}
SAID = {
    "Sign out": "Salir",
    "Shown: %(n)s of %(n)s.": "Se ven: %(n)s de %(n)s.",
    "Hello %(me_name)s": "Hola %(me_name)s",
    "Press <b>Stop</b> to end": "Pulse <b>Parar</b> para terminar",
    "50 %% of it": "el 50 %%",
    "%(n)s mark": "%(n)s punto",
    "Paper": "Papel",
    "examination\x04Paper": "Examen",
    "examination\x04Paper of %(who)s": "Examen de %(who)s",
}
PAGES = [
    ("<button>Sign out</button>", "<button>Salir</button>"),
    ("<p>Shown: {{ n }} of {{ n }}.</p>", "<p>Se ven: 3 de 3.</p>"),
    ("<p>\n  Hello {{ me.name }}\n</p>", "<p>\n  Hola &lt;b&gt;Ian&lt;/b&gt;\n</p>"),
    ("<p>Press <b>Stop</b> to end</p>", "<p>Pulse <b>Parar</b> para terminar</p>"),
    ("<p><b>Sign out</b></p>", "<p><b>Salir</b></p>"),
    ("<p>50 % of it</p>", "<p>el 50 %</p>"),
    ('<div class="Sign out" aria-label="Paper" data-one="Sign out"></div>', '<div class="Sign out" aria-label="Papel" data-one="Salir"></div>'),
    ('<a href="{{ who }}" title="{{ who }}">{{ who }}</a>', '<a href="Tess" title="Tess">Tess</a>'),
    ("{% if right %}Sign out{% else %}Paper{% endif %}", "Salir"),
    ("{% trans n=n %}{{ n }} mark{% pluralize %}{{ n }} marks{% endtrans %}", "3 puntos"),
    ("{{ _('Paper') }}{# Sign out #}<!-- Sign out -->", "Papel<!-- Sign out -->"),
    ('<p{% if right %} title="Paper"{% endif %}>&nbsp;·&nbsp;5 A</p>', '<p title="Papel">&nbsp;·&nbsp;5 A</p>'),
    ("<p>Never seen</p>", "<p>Never seen</p>"),
    ('<th>{% trans "examination" %}Paper{% endtrans %}</th><th>Paper</th>', "<th>Examen</th><th>Papel</th>"),
    ('<td title="{% trans \'examination\' %}Paper{% endtrans %}">Paper</td>', '<td title="Examen">Papel</td>'),
    ('{% trans "examination" %}Paper of {{ who }}{% endtrans %}', "Examen de Tess"),
    ("{{ pgettext('examination', 'Paper') }}, {{ pgettext('part', 'Never seen') }}", "Examen, Never seen"),
]  # fmt: skip


class Some(NullTranslations):
    """A language that has a few sentences."""

    def gettext(self, message: str) -> str:
        """What the table says, else the English."""
        return SAID.get(message, message)

    def pgettext(self, context: str, message: str) -> str:
        """What the table says in a context, else the English."""
        return SAID.get(f"{context}\x04{message}", message)

    def ngettext(self, msgid1: str, msgid2: str, n: int) -> str:
        """One, or one with an s."""
        return SAID.get(msgid1, msgid1) + ("s" if n != 1 else "")


@pytest.fixture
def spanish(monkeypatch: pytest.MonkeyPatch) -> Iterator[None]:
    """Somebody reads in the language of the table above."""
    monkeypatch.setattr(languages, "catalogue", lambda tag: Some())
    with reading_in("es"):
        yield


def page(source: str) -> str:
    """A template rendered as the pages are."""
    environment = Environment(loader=DictLoader({"page": source}), autoescape=True, extensions=[Words])
    environment.policies["ext.i18n.trimmed"] = True
    environment.install_gettext_callables(languages._, languages.plural, newstyle=True)  # type: ignore[attr-defined]
    environment.globals |= {"_": languages._, "pgettext": languages.pgettext}
    return environment.get_template("page").render(**HELD)


@pytest.mark.parametrize(("source", "wanted"), PAGES)
def test_text_is_said_in_the_readers_language(spanish: None, source: str, wanted: str) -> None:
    """Text, spoken attributes and counts are; classes, addresses, comments and unknown sentences stay."""
    assert page(source) == wanted


@pytest.mark.parametrize(("source", "_wanted"), PAGES)
def test_english_stands_as_it_is_written(source: str, _wanted: str) -> None:
    """Without a catalogue a page is what its template says."""
    plain = Environment(loader=DictLoader({"page": source}), autoescape=True, extensions=["jinja2.ext.i18n"])
    plain.install_null_translations(newstyle=True)  # type: ignore[attr-defined]
    assert page(source) == plain.get_template("page").render(**HELD)


def test_a_value_stands_where_the_translation_puts_it(monkeypatch: pytest.MonkeyPatch) -> None:
    """Two values can change places, and what somebody typed is still escaped."""
    monkeypatch.setattr(Some, "gettext", lambda _self, _text: "%(me_name)s: %(who)s")
    monkeypatch.setattr(languages, "catalogue", lambda tag: Some())
    with reading_in("es"):
        assert page("<p>{{ who }} asks {{ me.name }}</p>") == "<p>&lt;b&gt;Ian&lt;/b&gt;: Tess</p>"
