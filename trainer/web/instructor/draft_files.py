"""Own items in and out as files: a YAML file taken as drafts, a draft or a topic given away."""

from __future__ import annotations

from flask import flash, redirect, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import FaultyFiles, Refused
from trainer.languages import _
from trainer.questions import qti
from trainer.services.authoring import drafts, item_files
from trainer.services.keeping import own_contents
from trainer.services.proving.exporting import Made
from trainer.web import downloads
from trainer.web.access import me, parts
from trainer.web.instructor.drafts import bp, page

Page = str | tuple[str, int] | Response
MOST_TOLD = 20  # faults of one file: who mends these sends it again
YAML, ZIP = "application/yaml", "application/zip"


@bp.post("/import")
def import_drafts() -> Page:
    """Take every item of a file as a draft, or none; faults stand at the file with their lines."""
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        return page([_("Choose a file first.")]), 422
    data = sent.stream.read(item_files.LARGEST + 1)
    try:
        with parts().database.writing() as session:
            made = item_files.take(session, parts().bank, me().id, data, _("your file"), parts().clock())
    except FaultyFiles as faulty:
        told = [_("Line %(line)s: %(says)s.", line=one.line, says=one.says) for one in faulty.faults]
        return page(told[:MOST_TOLD]), 422
    except Refused as fault:
        return page([str(fault)]), 422
    flash(
        _("Drafts taken from the file: %(made)s. Open each one to see what its checks say.", made=len(made)),
        "done",
    )
    return redirect(url_for("drafts.all_drafts"), 303)


@bp.get("/<int:draft_id>/text")
def export_draft(draft_id: int) -> Response:
    """The newest wording of a draft as a YAML file."""
    with parts().database.reading() as session:
        last = drafts.newest(drafts.one(session, me().id, draft_id))
    name = own_contents.id_of(last.place) or f"draft-{draft_id}"
    return downloads.response(Made(f"{name}.yaml", YAML, last.text.encode()))


@bp.post("/export")
def export_topic() -> Response:
    """A topic of the bank as YAML or as QTI items; who took it is noted, since keys go with it."""
    topic = request.form.get("topic", "")[:200]
    form = "qti" if request.form.get("form") == "qti" else "yaml"
    made = _qti(topic) if form == "qti" else _yaml(topic)
    with parts().database.writing() as session:
        item_files.note_given(session, me().id, topic, form, parts().clock())
    return downloads.response(made)


def _qti(topic: str) -> Made:
    files = qti.topic_items(parts().shelf, topic)
    return Made(f"{topic.replace('/', '-')}-qti.zip", ZIP, item_files.packed(files))


def _yaml(topic: str) -> Made:
    name, data = item_files.topic_file(parts().bank, topic)
    return Made(name, ZIP if name.endswith(".zip") else YAML, data)
