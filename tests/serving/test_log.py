"""The server's own log."""

from __future__ import annotations

import logging
from collections.abc import Iterator
from pathlib import Path

import pytest

from trainer.serving import log


@pytest.fixture
def root() -> Iterator[logging.Logger]:
    """The root logger, put back as it was."""
    logger = logging.getLogger()
    before = list(logger.handlers)
    yield logger
    for handler in [handler for handler in logger.handlers if handler not in before]:
        logger.removeHandler(handler)
        handler.close()


def test_errors_are_kept_with_their_trace(tmp_path: Path, root: logging.Logger) -> None:
    """What the pages log about a surprise is found in the instance folder."""
    file = log.keep_log(tmp_path)
    try:
        raise ZeroDivisionError("within")
    except ZeroDivisionError:
        logging.getLogger("trainer").exception("reference ABCD")
    text = file.read_text(encoding="utf-8")
    assert "reference ABCD" in text
    assert "ZeroDivisionError: within" in text


def test_ordinary_days_write_nothing(tmp_path: Path, root: logging.Logger) -> None:
    """Neither chatter nor a full queue for a moment fills the disk."""
    file = log.keep_log(tmp_path)
    logging.getLogger("trainer").info("somebody signed in")
    logging.getLogger("waitress.queue").warning("Task queue depth is 3")
    assert not file.exists()


def test_log_is_rotated(tmp_path: Path, root: logging.Logger, monkeypatch: pytest.MonkeyPatch) -> None:
    """However much goes wrong, the log stays within its files."""
    monkeypatch.setattr(log, "MOST_BYTES", 500)
    log.keep_log(tmp_path)
    for number in range(100):
        logging.getLogger("trainer").error("number %d %s", number, "x" * 50)
    files = sorted(path.name for path in (tmp_path / "logs").iterdir())
    assert files == ["server.log", "server.log.1", "server.log.2", "server.log.3"]
    assert all(path.stat().st_size <= 500 for path in (tmp_path / "logs").iterdir())
