"""Pages as their reader reads: in which language, with which decimal sign, and the templates compiled for it."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import contextmanager
from functools import lru_cache
from typing import Any

from flask import Flask, current_app, g, request
from flask.templating import Environment
from werkzeug.datastructures import LanguageAccept
from werkzeug.http import parse_accept_header

from trainer.bank.citing import cited
from trainer.languages import LANGUAGES, WRITTEN_IN, _, language, pgettext, plural, read_in, reading_in
from trainer.languages.numerals import grouped, read_with
from trainer.web import shelving
from trainer.web.access import anybody, close_look, decimal, parts
from trainer.web.page_words import Words


class House(Flask):
    """The application; its templates are those of the reader's language."""

    def ensure_sync(self, func: Callable[..., Any]) -> Callable[..., Any]:
        """Every function of a page as it is: none of the house is a coroutine, so none has to be looked at."""
        return func

    @property
    def jinja_env(self) -> Environment:  # the library keeps one for everybody
        """The templates of the reader's language, compiled as they are asked for."""
        tag = language()
        if tag not in self._environments:
            self._environments[tag] = _spoken(self._environments[WRITTEN_IN])
        return self._environments[tag]

    @property
    def _environments(self) -> dict[str, Environment]:
        if "environments" not in self.__dict__:
            self.__dict__["environments"] = {WRITTEN_IN: _with_words(self.create_jinja_environment())}
        held: dict[str, Environment] = self.__dict__["environments"]
        return held


def install(app: Flask) -> None:
    """Find out with every request who reads, before anything is said."""
    app.before_request(_listen)
    app.teardown_request(_forget)
    app.teardown_request(close_look)
    app.context_processor(lambda: {"lang": language()})


def _listen() -> None:
    if request.endpoint == "static":
        return
    found = anybody()
    wanted = found.habits.language if found is not None else "device"
    read_in(_of_device(request.headers.get("Accept-Language")) if wanted == "device" else wanted)
    house = current_app.extensions["trainer"].settings.decimal
    read_with(found.habits.sign(house) if found is not None else house)
    g.parts = shelving.in_language(current_app.extensions["trainer"], language())


@contextmanager
def made_for(tag: str) -> Iterator[None]:
    """What is made inside, such as sheets for a class, is in this language, its bank too; the decimal sign stays.

    A tag that is no language of the house is the asker's own.
    """
    held, tag = parts(), tag if tag in LANGUAGES else language()
    with reading_in(tag):
        read_with(decimal())
        g.parts = shelving.in_language(current_app.extensions["trainer"], tag)
        try:
            yield
        finally:
            g.parts = held


@lru_cache(maxsize=256)
def _of_device(asked: str | None) -> str:
    return parse_accept_header(asked, LanguageAccept).best_match(LANGUAGES) or WRITTEN_IN


def _forget(_error: BaseException | None) -> None:
    read_in(WRITTEN_IN)
    read_with("point")


def _with_words(environment: Environment) -> Environment:
    environment.policies["ext.i18n.trimmed"] = True
    environment.add_extension(Words)
    environment.install_gettext_callables(_, plural, newstyle=True)  # type: ignore[attr-defined]
    environment.globals |= {"_": _, "pgettext": pgettext, "cited": cited}
    environment.filters["grouped"] = grouped
    return environment


def _spoken(environment: Environment) -> Environment:
    """The same templates in another language; compiled ones are not kept on the disk, where a catalogue may change."""
    overlay = environment.overlay(bytecode_cache=None)
    assert isinstance(overlay, Environment)
    return overlay
