"""Whether a page fits its screen."""

from __future__ import annotations

from typing import Any


def fits(page: Any) -> bool:
    """Nothing sticks out sideways. Looks only when the page has come: a press may still be leading to it."""
    page.wait_for_load_state()
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))
