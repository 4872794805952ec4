"""Verify a record without an account: the verdict in words first, and the page to take along."""

from __future__ import annotations

from typing import Any

from flask import render_template, request
from markupsafe import Markup
from werkzeug.wrappers import Response

from trainer.drawing.measures import seal
from trainer.languages import N_, _
from trainer.records.issuers import find
from trainer.records.verification import MAX_FILE_BYTES, Verdict, Verification, verify
from trainer.records.verify_page import verify_page
from trainer.services.proving import issuers
from trainer.services.proving.exporting import Made
from trainer.web import downloads
from trainer.web.access import parts, this_day
from trainer.web.public.entry import bp
from trainer.web.sheets.days import day, iso, moment

Page = str | tuple[str, int] | Response
HEADINGS = {
    Verdict.VALID: N_("Genuine and unchanged"),
    Verdict.ALTERED: N_("Do not rely on this file"),
    Verdict.EXPIRED: N_("Genuine, but no longer good"),
    Verdict.REVOKED: N_("The issuer has withdrawn this record"),
    Verdict.SUSPENDED: N_("The issuer has suspended this record"),
    Verdict.NOT_YET_VALID: N_("Genuine, but not yet good"),
    Verdict.UNKNOWN_ISSUER: N_("Unchanged, but the signer is not on the list"),
    Verdict.UNREADABLE: N_("This file is no record that can be read"),
}
ADVICE = {
    Verdict.VALID: N_("A genuine record is not an opinion of the person's work. You decide."),
    Verdict.ALTERED: N_("Keep the file as it is; do not correct it."),
    Verdict.UNKNOWN_ISSUER: N_(
        "Telephone the issuer on a number you already have, compare the key aloud, then let "
        "the employer add it to the list of issuers."
    ),
    Verdict.UNREADABLE: N_("Take the file as it was exported, not a copy out of another program."),
}
ASK = N_("Ask the issuer what stands behind it.")
BROKEN = frozenset({Verdict.ALTERED, Verdict.UNREADABLE})
EMPTY = frozenset({Verdict.UNKNOWN_ISSUER})


@bp.get("/verify", endpoint="verify")
def verify_form() -> Page:
    """Show the form."""
    return _form()


@bp.post("/verify")
def check_record() -> Page:
    """Judge the file that was sent."""
    typed = request.form.get("on", "").strip()
    on = iso(typed) if typed else this_day()
    if on is None:
        return _form({"on": _("Write the day as year, month, day: 2026-11-25.")}), 422
    document, name = _sent("file")
    if not document:
        return _form({"file": _("Choose the record: a JSON file, or a certificate in PDF.")}), 422
    status, _status_name = _sent("status")
    held = issuers.pinned(parts().settings.instance)
    outcome = verify(document, held, on, status or None)
    return render_template("public/verify_result.html", **_result(outcome, name, typed or on.isoformat()))


@bp.get("/verify/page")
def take_along() -> Page:
    """Hand out the one file that verifies records on a machine without this program."""
    held = issuers.pinned(parts().settings.instance)
    return downloads.response(Made("verify.html", "text/html; charset=utf-8", verify_page(held)))


def _sent(field: str) -> tuple[bytes, str]:
    sent = request.files.get(field)
    if sent is None or not sent.filename:
        return b"", ""
    shown = "".join(sign for sign in sent.filename if sign.isprintable())[-80:]
    return sent.read(MAX_FILE_BYTES + 1), shown


def _form(faults: dict[str, str] | None = None) -> str:
    held = issuers.pinned(parts().settings.instance)
    today = this_day().isoformat()
    typed = request.form.get("on", today)[:40]
    return render_template(
        "public/verify.html", faults=faults or {}, on=typed, issuers=[one.name for one in held]
    )


def _result(outcome: Verification, file: str, on: str) -> dict[str, Any]:
    verdict = outcome.verdict
    held = issuers.pinned(parts().settings.instance)
    pinned = find(held, outcome.issuer) if outcome.issuer else None
    facts = [
        (_("Checked"), _("%(moment)s, for %(on)s, on this machine", moment=moment(parts().clock()), on=on)),
        (
            _("Issuer") if pinned else _("Calls itself"),
            (pinned.name if pinned else outcome.issuer_name) or _("not told"),
        ),
        (_("Key"), outcome.issuer or ""),
        (_("About"), outcome.subject or ""),
        (_("Judged for"), day(outcome.valid_from)),
        (_("Good until"), day(outcome.valid_until) or (_("no limit") if outcome.valid_from else "")),
        (_("Status as of"), day(outcome.status_as_of)),
        (_("File"), file),
    ]
    return {
        "heading": _(HEADINGS[verdict]),
        "verdict": _(verdict.value),
        "seal_svg": Markup(seal("broken" if verdict in BROKEN else "empty" if verdict in EMPTY else "whole")),
        "reasons": outcome.reasons,
        "signatures": outcome.signatures,
        "facts": [(label, value) for label, value in facts if value],
        "advice": _(ADVICE.get(verdict, ASK)),
        "status_as_of": day(outcome.status_as_of) or _("none given"),
    }
