"""Real Chromium, one for the whole run: a second one cannot be driven from the same thread.

Without a Chromium the tests that want it are skipped and say so; in CI they fail.
"""

from __future__ import annotations

import os
import shutil
from collections.abc import Iterator
from typing import Any

import pytest

FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
]  # fmt: skip


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """One Chromium for the whole run."""
    path = shutil.which("chromium") or shutil.which("google-chrome")
    if path is None:
        if os.environ.get("CI"):
            pytest.fail("CI must have Chromium: install the package chromium")
        pytest.skip("browser tests skipped: no Chromium found")
    from playwright.sync_api import sync_playwright

    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=path, args=FLAGS)
        yield browser
        browser.close()
