"""What stands between the pages and the network: form tokens, origin, hosts, headers, sign-in tries."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import lru_cache, wraps
from typing import Any

from flask import Flask, Response, g, request, session
from flask.sessions import SecureCookieSessionInterface
from werkzeug.exceptions import RequestEntityTooLarge
from werkzeug.routing import IntegerConverter

from trainer.errors import NotAllowed, NotFound, Refused
from trainer.languages import _
from trainer.services.admitting.particulars import works_number
from trainer.settings import Settings
from trainer.web.access import me
from trainer.web.throttle import Throttle

MOST_BYTES = 10_000_000
MOST_FORM_BYTES = 2_000_000
MOST_FIELDS = 10_000  # the form of a drill set over a bank ten times as large as ours has some 3,500
OWN_HOSTS = ("localhost", "127.0.0.1", "[::1]")
FORM = "application/x-www-form-urlencoded"
CHANGING = frozenset({"POST", "PUT", "PATCH", "DELETE"})
NUL = "\0"
POLICY = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' data:; font-src 'self'; "
    "connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'"
)
HEADERS = {
    "X-Content-Type-Options": "nosniff",
    # Not "no-referrer": under that policy browsers send "Origin: null" with our own forms.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
}

# Pages that let somebody in, each with its limit for one asking machine and, where a works number is
# typed, for that number. A whole class may sit behind one address, so the first is wide.
THROTTLED = ("public.enter", "public.join", "public.make_first")
PER_MACHINE = 120
# Passphrases that somebody types who is signed in, tried as often as the one of the door.
UNLOCKING = (
    "account.passphrase",
    "instructor.unlock_sitting",
    "drafts.unlock_own_items", "drafts.seal_own_items_anew", "drafts.lay_open_own_items",
)  # fmt: skip
# Many records may be signed one after the other.
OPENING = ("signing.sign", "signing.change_key", "signing.change_passphrase")


MOST_TOKENS = 2048
"""Of browsers at work, each with one form token."""


class FormCookie(SecureCookieSessionInterface):
    """The cookie of the forms, as Flask's; what signs it is put together once and not with every request."""

    def __init__(self, app: Flask) -> None:
        self._signing = super().get_signing_serializer(app)

    def get_signing_serializer(self, app: Flask) -> Any:
        """What signs the cookie."""
        return self._signing

    def get_cookie_secure(self, app: Flask) -> bool:
        """Whether the browser is to send it by https only: where it came so."""
        return request.is_secure


class Id(IntegerConverter):
    """A number in an address; with more digits than a database counts to there is nothing to find."""

    regex = r"\d{1,9}"


def configure(app: Flask, settings: Settings) -> None:
    """Settings of Flask and its extensions that keep the pages safe; before any blueprint."""
    app.config.update(
        SECRET_KEY=settings.secret(),
        SESSION_COOKIE_NAME="trainer_form",
        SESSION_COOKIE_SAMESITE="Lax",
        MAX_CONTENT_LENGTH=MOST_BYTES,
        MAX_FORM_MEMORY_SIZE=MOST_FORM_BYTES,
        TRUSTED_HOSTS=[*OWN_HOSTS, *settings.hosts],
        WTF_CSRF_TIME_LIMIT=None,  # as good as the browser's own session: a lesson may be long
        WTF_CSRF_SSL_STRICT=False,  # the check of Origin below says more than its check of Referer
    )
    app.session_interface = FormCookie(app)
    app.url_map.converters["int"] = Id
    app.before_request(same_origin)
    app.before_request(short_form)
    app.after_request(add_headers)


def protect(app: Flask, settings: Settings) -> None:
    """Form tokens for every page, and limits on sign-in; after all blueprints."""
    from flask_wtf.csrf import CSRFProtect, generate_csrf

    @lru_cache(MOST_TOKENS)
    def signed(_held: str) -> str:
        """The token of the browser that asks and holds this; it is good as long as the browser's own session."""
        return str(generate_csrf())

    def form_token() -> str:
        """The token of this page's forms, signed once for each browser."""
        found: str | None = g.get("form_token")
        if found is None:
            held = session.get("csrf_token")
            found = g.form_token = signed(held) if held else generate_csrf()
        return found

    CSRFProtect(app)
    app.jinja_env.globals["csrf_token"] = form_token
    app.context_processor(lambda: {"csrf_token": form_token})
    app.before_request(without_nul)
    for endpoint in THROTTLED:
        limits: list[tuple[Throttle, Callable[[], str]]] = [(Throttle(PER_MACHINE), _machine)]
        if endpoint == "public.enter":
            limits.append((Throttle(settings.sign_in_tries), _number))
        app.view_functions[endpoint] = _counted(app.view_functions[endpoint], limits)
    tries = [(Throttle(settings.sign_in_tries), _hand)]
    for endpoint in UNLOCKING:
        app.view_functions[endpoint] = _counted(app.view_functions[endpoint], tries)
    openings = [(Throttle(PER_MACHINE), lambda: str(me().id))]
    for endpoint in OPENING:
        app.view_functions[endpoint] = _counted(app.view_functions[endpoint], openings)


def _counted(view: Callable[..., Any], limits: Sequence[tuple[Throttle, Callable[[], str]]]) -> Any:
    """Let a page be sent no oftener than each of its limits allows for the name that is asked for it."""

    @wraps(view)
    def counted(**values: Any) -> Any:
        if request.method == "POST":
            for throttle, name in limits:
                throttle.pass_by(name())
        return view(**values)

    return counted


def same_origin() -> None:
    """Refuse what another site's page sends: a browser names that page's site in ``Origin``."""
    if request.method not in CHANGING:
        return
    origin = request.headers.get("Origin", "")
    if origin.partition("://")[2] != request.host:
        raise NotAllowed(
            _("This was not sent from a page of this program. Open the page here and send it again.")
        )


def short_form() -> None:
    """Refuse a form before it is taken apart: a million tiny fields keep a processor busy for a second.

    What bounds forms with files (MAX_FORM_MEMORY_SIZE, MAX_FORM_PARTS) does not bound those without.
    """
    if request.mimetype == FORM and (
        (request.content_length or 0) > MOST_FORM_BYTES or request.get_data().count(b"&") >= MOST_FIELDS
    ):
        raise RequestEntityTooLarge


def without_nul() -> None:
    """Refuse the character NUL, which nobody can type and PostgreSQL cannot keep."""
    if NUL in request.path:
        raise NotFound(_("There is no sheet at this address."))
    if not request.query_string and not request.content_length:
        return  # nothing else was sent
    texts = (
        text for values in (request.args, request.form) for item in values.items(multi=True) for text in item
    )
    if any(NUL in text for text in texts):
        raise Refused(_("What was sent holds a character that no keyboard types. Write it again."))


def add_headers(response: Response) -> Response:
    """Headers of every response."""
    response.headers.extend(HEADERS)
    response.headers.setdefault("Content-Security-Policy", POLICY)  # an evidence file has a stricter one
    return response


def _machine() -> str:
    return request.remote_addr or "unknown"


def _hand() -> str:
    """Who tries what is shut: nobody can use up another's tries, and no page gives more of them for the same thing."""
    return f"{me().id} {request.blueprint} {request.view_args}"


def _number() -> str:
    """The number as signing in reads it, so that another way to write it is no further try; one name for what is none."""
    try:
        return works_number(request.form.get("works_number", ""))
    except Refused:
        return "none"
