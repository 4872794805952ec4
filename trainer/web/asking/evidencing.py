"""Evidence files on the page of an entry: the list, taking one in, handing one out to be saved."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from flask import request
from werkzeug.wrappers import Response

from trainer.errors import Refused
from trainer.languages import _
from trainer.services.proving.exporting import Made
from trainer.services.qualifying import evidence
from trainer.store.models import EvidenceFile
from trainer.web import downloads
from trainer.web.access import me, parts
from trainer.web.sheets.days import moment


def file_views(rows: Iterable[EvidenceFile]) -> list[dict[str, Any]]:
    """Each file in words: name, kind, size, digest, when it was added."""
    return [
        {
            "id": row.id,
            "name": row.name,
            "kind": _(evidence.KINDS[row.kind].words),
            "size": f"{max(1, row.size // 1000)} kB",
            "digest": row.digest,
            "added": moment(row.added_at),
        }
        for row in rows
    ]


def take(entry_id: str) -> None:
    """Keep the file that was sent with an entry. Raises as the service does, Refused for no file."""
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        raise Refused(_("Choose a file first."))
    data = sent.stream.read(evidence.MOST_BYTES + 1)
    with parts().database.writing() as session:
        evidence.attach(session, entry_id, me().id, sent.filename[:400], data, parts().clock())


def hand_out(file_id: int) -> Response:
    """A file to be saved: under a name of our own, as an attachment, and powerless if it is opened anyway."""
    with parts().database.reading() as session:
        row = evidence.one(session, me().id, file_id)
        kind = evidence.KINDS[row.kind]
        made = Made(f"{row.entry_id}-evidence-{row.id}.{kind.end}", kind.media_type, row.content)
    response = downloads.response(made)
    response.headers["Content-Security-Policy"] = "sandbox; default-src 'none'"
    return response
