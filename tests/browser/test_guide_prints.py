"""Help on paper: each page and the quick sheet come out of the printer as one sheet of A4."""

from __future__ import annotations

import io
from collections.abc import Callable
from typing import Any

import pytest
from pypdf import PdfReader

from tests.make import People

pytestmark = pytest.mark.browser
A4 = (595, 842)  # points


@pytest.mark.parametrize("page_name", ["trainee", "instructor", "employer", "sheet"])
def test_one_sheet(page_of: Callable[..., Any], people: People, page_name: str) -> None:
    """One page, of the size of A4, with its title block still on it."""
    page = page_of(None, 1366)
    page.goto(f"/help/{page_name}")
    printed = PdfReader(io.BytesIO(page.pdf(prefer_css_page_size=True))).pages
    assert len(printed) == 1
    assert (round(printed[0].mediabox.width), round(printed[0].mediabox.height)) == A4
    assert ("How to answer" if page_name == "sheet" else f"For the {page_name}") in printed[0].extract_text()
