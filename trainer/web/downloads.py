"""Exported files as answers to a press."""

from __future__ import annotations

from collections.abc import Sequence

from flask import make_response
from werkzeug.wrappers import Response

from trainer.records.keys import SigningKey
from trainer.services.admitting import accounts
from trainer.services.proving import exporting, issuers, record_signers, signing_key
from trainer.services.proving.exporting import Made
from trainer.services.qualifying import standing
from trainer.web.access import me, parts
from trainer.web.sheets import standing_sheet
from trainer.web.sheets.standing_sheet import Asked


def export(person_id: int, form: str, wanted: Asked, named: Sequence[str] = ()) -> Response:
    """The record of a colleague (or oneself) in a form, noted in the chain; ``named`` are values of offers.

    Raises NotFound; Refused where somebody named may not sign it.
    """
    key, offered = own_key(), standing_sheet.known()
    with parts().database.writing() as session:
        person = accounts.colleague(session, me().id, person_id)
        signers = record_signers.chosen(session, me().id, person_id, named)
        with exporting.in_the_language_of(form):
            placed = standing.place(session, person, wanted.on, offered, wanted.scheme, wanted.level)
        made = exporting.export(
            session, placed, form, me().id, key, signing_key.fresh_urn(), parts().clock(), signers
        )
    return response(made)


def own_key() -> SigningKey:
    """The key of this installation, on its own list of issuers under the asker's house."""
    instance = parts().settings.instance
    key = signing_key.ensure(instance)
    issuers.ensure_own(instance, key.did, me().organisation)
    return key


def response(made: Made) -> Response:
    """The file, to be kept and never shown inside a page."""
    answer: Response = make_response(made.data)
    answer.headers["Content-Type"] = made.media_type
    answer.headers["Content-Disposition"] = f'attachment; filename="{made.name}"'
    return answer
