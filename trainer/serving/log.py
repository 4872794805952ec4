"""Where the server keeps what nobody foresaw: a file in the instance folder, rotated before it grows."""

from __future__ import annotations

import logging
from logging.handlers import RotatingFileHandler
from pathlib import Path

FOLDER = "logs"
FILE = "server.log"
MOST_BYTES = 1_000_000
OLDER_FILES = 3


def keep_log(instance: Path) -> Path:
    """Let warnings and errors of this process go to ``logs/server.log`` of an instance; give the file."""
    file = instance / FOLDER / FILE
    file.parent.mkdir(parents=True, exist_ok=True)
    handler = RotatingFileHandler(
        file, maxBytes=MOST_BYTES, backupCount=OLDER_FILES, encoding="utf-8", delay=True
    )
    handler.setFormatter(logging.Formatter("%(asctime)s %(levelname)s %(name)s: %(message)s"))
    handler.setLevel(logging.WARNING)
    logging.getLogger().addHandler(handler)
    logging.getLogger("waitress.queue").setLevel(logging.ERROR)  # a busy moment is no news
    return file
