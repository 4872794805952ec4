"""One page for every named error: what happened, and what to do."""

from __future__ import annotations

import logging
import secrets

from flask import Flask, Response, g, render_template, request
from flask_wtf.csrf import CSRFError
from werkzeug.exceptions import HTTPException, SecurityError

from trainer.errors import Busy, FaultyFiles, NotNow, TrainerError
from trainer.languages import N_, _

log = logging.getLogger("trainer")

HEADINGS = {
    400: N_("This page could not be read"),
    401: N_("You are signed out"),
    403: N_("This is not open to you"),
    404: N_("There is no sheet at this address"),
    405: N_("This address is not used in that way"),
    409: N_("This has moved on in the meantime"),
    413: N_("This is too large"),
    422: N_("This cannot be taken as it stands"),
    429: N_("Too many at once: wait a moment"),
    500: N_("Something went wrong in the program"),
    503: N_("Not just now"),
}
SENTENCES = {
    400: N_("Go back, load the page anew and send it once more."),
    404: N_("The link may be old, or the thing may belong to somebody else. Nothing you answered is lost."),
    405: N_("Go back and use the buttons of the page."),
    413: N_("Send a file of at most 5 MB, a shorter text, or fewer fields of a long form at once."),
}
LOGGED = frozenset({403, 429})  # somebody who tries what is not open to them, or too often
OLD_FORM = N_(
    "The page was open for too long, or in another browser session. Load it anew and send it once more."
)
STRANGE_HOST = N_(
    "This program does not know the name in the address line. If the machine that runs it has got a new address, "
    "stop the program there and start it again with --lan: it then takes the new one and shows it. If it is a "
    "name of your own, write it into the list hosts of trainer.toml first.\n"
)


def install(app: Flask) -> None:
    """Show every error of the application by the one page."""
    app.register_error_handler(TrainerError, _named)
    app.register_error_handler(FaultyFiles, _faulty)
    app.register_error_handler(CSRFError, _old_form)
    app.register_error_handler(SecurityError, _strange_host)
    app.register_error_handler(HTTPException, _plain)
    app.register_error_handler(Exception, _unexpected)  # the last resort, so it stands last


def page(status: int, sentence: str, reference: str = "", faults: tuple[str, ...] = ()) -> tuple[str, int]:
    """The error page of a status with its sentence, and the faults of files one by one."""
    heading = _(HEADINGS.get(status, HEADINGS[400]))
    asked = request.path[:200]
    return render_template(
        "error.html",
        heading=heading,
        sentence=sentence,
        status=status,
        reference=reference,
        faults=faults,
        asked=asked,
    ), status


def _named(fault: TrainerError) -> tuple[str, int]:
    if isinstance(fault, Busy | NotNow):
        g.setdefault("me", None)  # the store may have failed at who is asking; the page must not ask it again
    if fault.status in LOGGED:
        log.warning(
            "refused with %s: %s %s, from %s", fault.status, request.method, _asked(), request.remote_addr
        )
    return page(fault.status, str(fault))


def _faulty(fault: FaultyFiles) -> tuple[str, int]:
    sentence = _("One or more files have faults. Mend the lines below.")
    return page(fault.status, sentence, faults=tuple(map(str, fault.faults)))


def _old_form(_fault: CSRFError) -> tuple[str, int]:
    return page(400, _(OLD_FORM))


def _strange_host(_fault: SecurityError) -> Response:
    """Plain text: without a name that is ours no page can be addressed."""
    return Response(_(STRANGE_HOST), 400, content_type="text/plain; charset=utf-8")


def _plain(fault: HTTPException) -> tuple[str, int]:
    status = fault.code or 500
    return page(status, _(SENTENCES.get(status, SENTENCES[400])))


def _unexpected(fault: Exception) -> tuple[str, int]:
    reference = secrets.token_hex(4)
    g.setdefault("me", None)  # the error page must not ask a store that may be what failed
    log.error("reference %s: %s %s", reference, request.method, _asked(), exc_info=fault)
    sentence = _(
        "Nothing was kept of what you just sent. Try again; if it comes back, give your instructor the reference %(reference)s.",
        reference=reference,
    )
    return page(500, sentence, reference)


def _asked() -> str:
    """The page's rule, not its address: an address may hold the code of a first account."""
    return request.url_rule.rule if request.url_rule else "no page"
