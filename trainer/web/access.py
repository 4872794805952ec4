"""Who is asking, and which pages are open to whom.

One guard stands at each blueprint, so that no page of it can be forgotten. A person without the role is
refused (403); a thing that is not theirs is not found (404); somebody signed out is sent to the sign-in page,
but never by a redirect that a script could take for a kept answer.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from datetime import date, datetime
from typing import TYPE_CHECKING

from flask import Blueprint, current_app, g, redirect, request, url_for
from werkzeug.wrappers import Response as AnyResponse

from trainer.errors import NotAllowed
from trainer.languages import _
from trainer.services.admitting import sign_in
from trainer.services.admitting.sign_in import Me
from trainer.services.keeping.moments import local_day
from trainer.settings import Settings
from trainer.store import Database, Look

if TYPE_CHECKING:
    from trainer.bank import Bank
    from trainer.bank.vocabulary import Vocabulary
    from trainer.drills.shelf import Shelf
    from trainer.jobs.casting import JobShelf
    from trainer.shopwork.shelf import ShopShelf

COOKIE = "trainer_sign_in"


@dataclass(frozen=True, slots=True)
class Parts:
    """What every page may need: carried by the application, made by `web.shelving`."""

    settings: Settings
    database: Database
    shelf: Shelf
    clock: Callable[[], datetime]
    jobs: JobShelf
    shop: ShopShelf
    words: Vocabulary
    in_other_languages: dict[tuple[str, bool], Parts] = field(default_factory=dict, repr=False, compare=False)

    @property
    def bank(self) -> Bank:
        """The question bank behind the shelf."""
        return self.shelf.bank


class SignedOut(NotAllowed):
    """What was sent came from a browser that is not signed in (any more)."""

    status = 401


def parts() -> Parts:
    """The parts of the running application; the same ones to the end of a request, whatever is taken up meanwhile."""
    found: Parts | None = g.get("parts")
    if found is None:
        found = g.parts = current_app.extensions["trainer"]
    return found


def look() -> Look:
    """The way of this request to ask for plain columns; closed at its end."""
    found: Look | None = g.get("look")
    if found is None:
        found = g.look = parts().database.look()
    return found


def close_look(_error: BaseException | None) -> None:
    """Give back what ``look`` has opened."""
    if "look" in g:
        g.look.close()


def this_day() -> date:
    """Today, where the machine stands: what every page, form and judgement means by today."""
    return local_day(parts().clock())


def decimal() -> str:
    """The decimal sign that the person who asks types: their own choice, else the house's."""
    return me().habits.sign(parts().settings.decimal)


def me() -> Me:
    """The person who is asking. Raises SignedOut if nobody is signed in."""
    found = anybody()
    if found is None:
        raise SignedOut(_("You are signed out. Sign in again in another tab, then send this page once more."))
    return found


def anybody() -> Me | None:
    """The person who is asking, or None; looked up once for each request."""
    found: Me | None = g.get("me")
    if found is None and "me" not in g:
        token = request.cookies.get(COOKIE, "")
        found = g.me = _who(token) if token else None
    return found


def guarded_blueprint(
    name: str, module: str, roles: frozenset[str] | set[str], prefix: str | None = None
) -> Blueprint:
    """A blueprint whose pages are for people with one of these roles only."""
    blueprint = Blueprint(name, module, url_prefix=prefix)
    allowed = frozenset(roles)

    def guard() -> AnyResponse | None:
        if request.method in {"GET", "HEAD"} and anybody() is None:
            return redirect(url_for("public.sign_in", next=request.full_path.rstrip("?")), 303)
        if not me().roles & allowed:
            raise NotAllowed(_("This page is for people with another role. Your own pages are in the menu."))
        return None

    blueprint.before_request(guard)
    GUARDED[name] = allowed
    return blueprint


GUARDED: dict[str, frozenset[str]] = {}


def signed_in(response: AnyResponse, token: str) -> AnyResponse:
    """Let the browser keep a sign-in token with this response."""
    response.set_cookie(
        COOKIE,
        token,
        max_age=parts().settings.sign_in_hours * 3600,
        httponly=True,
        samesite="Lax",
        secure=request.is_secure,
    )
    return response


def signed_out(response: AnyResponse) -> AnyResponse:
    """Take the sign-in token back from the browser."""
    response.delete_cookie(COOKIE, httponly=True, samesite="Lax", secure=request.is_secure)
    return response


def came_from() -> str:
    """The address of the asking machine, for the audit notes."""
    return request.remote_addr or ""


def inside(target: str) -> str:
    """``target`` if it is a page of our own, else the front page: a link must not lead elsewhere."""
    own = target.startswith("/") and not target.startswith(("//", "/\\")) and target.isprintable()
    return target if own else url_for("public.front")


def _who(token: str) -> Me | None:
    with look() as connection:
        return sign_in.who(connection, token[:200], parts().clock())
