"""Addresses of pages: each is built once and then known, since a page names some twenty and most are always the same."""

from __future__ import annotations

from collections.abc import Callable
from functools import lru_cache
from typing import Any

from flask import Flask, current_app, request
from werkzeug.routing import Rule

MOST = 2048
OWN_HOST = frozenset({"_external", "_scheme"})
"""What makes an address depend on the name that the asking browser uses for this machine."""


class LateRule(Rule):
    """The rule of a page, whose way to build an address is compiled when the first one is wanted.

    A start would compile two for each of some 230 pages, a twentieth of its time, and most of them for nothing.
    """

    def _compile_builder(self, append_unknown: bool = True) -> Callable[..., tuple[str, str]]:
        compile_now, compiled = super()._compile_builder, list[Callable[..., tuple[str, str]]]()

        def build(rule: Rule, /, **values: Any) -> tuple[str, str]:
            if not compiled:
                compiled.append(compile_now(append_unknown))
            return compiled[0](rule, **values)

        return build


def install(app: Flask) -> None:
    """Let the templates name pages by ``address``, under the name that Flask gives it."""

    @lru_cache(maxsize=MOST, typed=True)
    def built(_root: str, endpoint: str, /, **values: Any) -> str:
        return app.url_for(endpoint, **values)

    def named(endpoint: str, /, **values: Any) -> str:
        if not OWN_HOST.isdisjoint(values):
            return app.url_for(endpoint, **values)
        return built(request.root_path, endpoint, **values)

    app.extensions["addresses"] = app.jinja_env.globals["url_for"] = named


def address(endpoint: str, /, **values: Any) -> str:
    """The address of a page, as Flask's ``url_for`` gives it."""
    named: Callable[..., str] = current_app.extensions["addresses"]
    return named(endpoint, **values)
