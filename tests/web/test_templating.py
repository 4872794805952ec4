"""The templates' environment: what a dictionary holds is found under its key."""

from __future__ import annotations

from flask import Flask


def test_a_key_of_a_dictionary_goes_before_its_methods(app: Flask) -> None:
    """What a page is handed as a dictionary is read by name, also where a method has that name; what is missing is nothing."""
    says = app.jinja_env.from_string("{{ row.items }}|{{ row.name }}|{{ row.get('name') }}|{{ row.none }}")
    assert says.render(row={"items": 3, "name": "a < b"}) == "3|a &lt; b|a &lt; b|"
