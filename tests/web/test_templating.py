"""The templates' environment: what a dictionary holds is found under its key."""

from __future__ import annotations

import re

from flask import Flask

from trainer.settings import templates_folder

CARRIED = re.compile(r'<form([^>]*)>\s*\{\{ csrf\(\) \}\}<input type="hidden" name="(?:record|rows|text)"')


def test_a_key_of_a_dictionary_goes_before_its_methods(app: Flask) -> None:
    """What a page is handed as a dictionary is read by name, also where a method has that name; what is missing is nothing."""
    says = app.jinja_env.from_string("{{ row.items }}|{{ row.name }}|{{ row.get('name') }}|{{ row.none }}")
    assert says.render(row={"items": 3, "name": "a < b"}) == "3|a &lt; b|a &lt; b|"


def test_a_file_that_was_looked_at_goes_back_as_long_as_it_is() -> None:
    """Written in percent signs a file as large as we take would be three times as long, and refused as too large."""
    forms = [
        found[1]
        for page in templates_folder().rglob("*.html")
        for found in CARRIED.finditer(page.read_text("utf-8"))
    ]
    assert len(forms) == 4
    assert all('enctype="multipart/form-data"' in form for form in forms)
