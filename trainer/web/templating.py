"""The templates' environment: what every template may use is put together once, when the template is loaded."""

from __future__ import annotations

from collections.abc import MutableMapping
from typing import Any

from flask.templating import Environment


class Templates(Environment):
    """As Flask's, but with plain dictionaries as globals, and of what is handed over as one the keys asked for first.

    Jinja looks every global up in two dictionaries, one behind the other, so that something may be added later;
    nothing is here, and each page and each piece that it imports walked through them all. ``row.name`` of a
    dictionary fails as an attribute before it is found as a key, which takes six times as long as finding it.
    """

    def make_globals(self, d: MutableMapping[str, Any] | None) -> MutableMapping[str, Any]:
        """What a template may use: the environment's own, and over it what it was loaded with."""
        return {**self.globals, **(d or {})}

    def getattr(self, obj: Any, attribute: str) -> Any:
        """``obj.attribute``; of a dictionary what is kept under this key, before any method of that name."""
        return obj[attribute] if type(obj) is dict and attribute in obj else super().getattr(obj, attribute)
