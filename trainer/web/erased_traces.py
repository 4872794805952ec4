"""Traces that what was taken away may leave in the store's file: given up, or told."""

from __future__ import annotations

from flask import flash

from trainer.languages import _
from trainer.web.access import parts


def scrub() -> None:
    """Give up the freed bytes of the store; where some may be left, say what to do."""
    if not parts().database.scrub():
        flash(
            _(
                "Traces may be left in the store's file. Stop the trainer and start it once; with PostgreSQL, "
                "let VACUUM FULL be run."
            ),
            "stop",
        )
