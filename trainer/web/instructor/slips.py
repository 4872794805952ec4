"""Join slips to print: name, number, one-time code, and a QR code that brings a phone to the right page."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta

from flask import render_template, request, url_for
from markupsafe import Markup

from trainer.languages import _
from trainer.services.teaching.roster import Slip
from trainer.web.access import parts

LOCAL = ("localhost", "127.0.0.1", "[::1]")


def slips_page(slips: Sequence[Slip]) -> str:
    """The sheet of slips. It is shown once: the codes are kept only as hashes."""
    root = address()
    until = parts().clock() + timedelta(days=parts().settings.join_days)
    rows = [
        {
            "name": slip.name,
            "number": slip.works_number,
            "code": f"{slip.code[:4]}-{slip.code[4:]}",
            "qr": qr(f"{root}{url_for('public.join_page', code=slip.code)}", slip.name),
        }
        for slip in slips
    ]
    join = f"{root}{url_for('public.join_page')}"
    return render_template("instructor/slips.html", slips=rows, join=join, until=until.date())


def address() -> str:
    """Under which address other devices reach these pages, as well as can be known from here."""
    host, _colon, port = (
        request.host.rpartition(":") if ":" in request.host.strip("[]") else (request.host, "", "")
    )
    others = [name for name in parts().settings.hosts if name not in LOCAL]
    if host in LOCAL and others:
        return f"{request.scheme}://{others[0]}{':' + port if port else ''}"
    return request.host_url.rstrip("/")


def qr(text: str, whose: str) -> Markup:
    """A QR code as a drawing, dark on white also on dark pages, so that phones can read it."""
    import segno

    drawn = segno.make(text, error="m", micro=False)
    svg = drawn.svg_inline(
        scale=3,
        border=4,
        dark="#000",
        light="#fff",
        svgclass="qr",
        lineclass=None,
        title=_("Join code of %(name)s", name=whose),
    )
    return Markup(svg)  # made from numbers; the title is escaped by the library
