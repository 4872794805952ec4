"""The templates' environment: what every template may use is put together once, when the template is loaded."""

from __future__ import annotations

from collections.abc import MutableMapping
from typing import Any

from flask.templating import Environment


class Templates(Environment):
    """As Flask's, but with plain dictionaries.

    Jinja looks everything up in two, one behind the other, so that something may be added later; nothing is here,
    and each page and each piece that it imports walked through them all.
    """

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        """What a template may use: the environment's own, and over it what it was loaded with."""
        return {**self.globals, **(d or {})}
