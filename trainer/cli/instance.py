"""Where the instance folder is when nobody says."""

from __future__ import annotations

import os
import sys
from collections.abc import Mapping
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent.parent


def default_instance() -> Path:
    """``instance/`` of a checkout; for an installed wheel a folder of the person's own account.

    Never the current folder: records must not seem to vanish when a command is started elsewhere.
    """
    checkout = PACKAGE.parent
    if (checkout / "pyproject.toml").is_file():
        return checkout / "instance"
    return account_folder(sys.platform, os.environ, Path.home())


def account_folder(system: str, environment: Mapping[str, str], home: Path) -> Path:
    """The folder where a system keeps the data of one account's programs."""
    if system == "win32":
        return Path(environment.get("LOCALAPPDATA") or home / "AppData" / "Local") / "mt-trainer"
    if system == "darwin":
        return home / "Library" / "Application Support" / "mt-trainer"
    return Path(environment.get("XDG_DATA_HOME") or home / ".local" / "share") / "mt-trainer"
