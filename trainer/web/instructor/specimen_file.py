"""Many specimens from one file: choose it, look at the preview, enter all of it."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refused
from trainer.examinations import specimen_file
from trainer.languages import _
from trainer.services.examining import specimens
from trainer.web.access import me, parts
from trainer.web.instructor.practicals import bp

Page = str | tuple[str, int] | Response


@bp.get("/specimens/file")
def specimens_file() -> Page:
    """Show the form to choose a file."""
    return _page()


@bp.post("/specimens/file")
def preview_specimens() -> Page:
    """Read the file and show every specimen in it; nothing is written."""
    sent = request.files.get("file")
    if sent is None or not sent.filename:
        return _page(fault=_("Choose a file first.")), 422
    return _preview(sent.stream.read(specimen_file.MOST_BYTES + 1))


@bp.post("/specimens/file/take")
def take_specimens() -> Page:
    """Enter every specimen of the previewed file, or none."""
    data = request.form.get("text", "").encode()
    try:
        with parts().database.writing() as session:
            entered = specimens.take_file(session, me().id, data, parts().clock())
    except Refused:  # somebody else entered one of them since the preview
        return _preview(data)
    flash(_("Entered: %(count)s. They can be chosen for practicals from now on.", count=len(entered)), "done")
    return redirect(url_for("practicals.all_specimens"), 303)


def _preview(data: bytes) -> Page:
    with parts().database.reading() as session:
        found = specimens.check_file(session, me().id, data)
    page = _page(found, "" if found.bad else data.decode("utf-8-sig"))
    return (page, 422) if found.bad else page


def _page(preview: specimens.Preview | None = None, text: str = "", fault: str = "") -> str:
    return render_template(
        "instructor/specimen_file.html",
        preview=preview,
        text=text,
        fault=fault,
        example=specimen_file.EXAMPLE,
        most=specimen_file.MOST_SPECIMENS,
    )
