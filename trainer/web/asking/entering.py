"""The page that makes one ledger entry, for trainees about themselves and for others about colleagues."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Conflict, NotFound, Refused
from trainer.languages import _
from trainer.services.admitting import entitlements
from trainer.services.admitting.entitlements import Fetch
from trainer.services.qualifying import ledger, typed_entries
from trainer.services.qualifying.histories import BadEntry
from trainer.store.models import Person
from trainer.web.access import me, parts
from trainer.web.asking import entry_form
from trainer.web.sheets.standing_sheet import known, scheme_words

Page = str | tuple[str, int] | Response


def show(fetch: Fetch, kind: str, action: str, back: str) -> str:
    """The empty form of a kind, about the person that ``fetch`` gives."""
    with parts().database.reading() as session:
        person = fetch(session)
    _role(person, kind)
    return _form(person, kind, action, back, {}, {})


def send(fetch: Fetch, kind: str, action: str, back: str) -> Page:
    """Make the entry that was sent, or show the form again with its faults and everything typed."""
    with parts().database.reading() as session:
        person = fetch(session)
    role = _role(person, kind)
    typed = {name: value for name, value in request.form.items() if name != "csrf_token"}
    try:
        with parts().database.writing() as session:
            row = ledger.enter(
                session,
                person.id,
                kind,
                typed_entries.body(kind, typed),
                me().id,
                role,
                parts().clock(),
                list(known()),
            )
    except BadEntry as fault:
        return _form(person, kind, action, back, typed, {_spot(fault.field): str(fault)}), 422
    except (Refused, Conflict) as fault:
        return _form(person, kind, action, back, typed, {"": str(fault)}), 422
    flash(_("Entered as %(id)s. It counts once somebody entitled has countersigned it.", id=row.id), "done")
    return redirect(back, 303)


def offered(about_self: bool) -> list[tuple[str, str]]:
    """The kinds that the asker may enter, by name."""
    kinds = entitlements.enterable(me().roles, about_self)
    return [(kind, entry_form.title(kind)) for kind in kinds]


def entry_address(endpoint: str) -> Callable[[str], str]:
    """Gives the address of an entry's page by its id."""
    return lambda entry_id: url_for(endpoint, entry_id=entry_id)


def _role(person: Person, kind: str) -> str:
    """The role in which the asker enters this kind. Raises NotFound where there is none."""
    able = me().roles & entitlements.ENTERED_BY.get(kind, frozenset())
    role = entitlements.first_of(able if person.id == me().id else able - {"trainee"})
    if role is None:
        raise NotFound(_("There is no such form for you. Choose one of those offered."))
    return role


def _spot(field: str) -> str:
    """The field of the form at which a fault of the entry is shown."""
    return "instruction_marks" if field == "instruction" else field


def _form(
    person: Person, kind: str, action: str, back: str, typed: dict[str, str], faults: dict[str, str]
) -> str:
    offered_schemes = tuple((one.id, scheme_words(one)) for one in known().values())
    spots = entry_form.spots(kind, offered_schemes)
    names = {spot.name for spot in spots}
    faults = {(name if name in names else ""): says for name, says in faults.items()}
    context: dict[str, Any] = {
        "person": person,
        "title": entry_form.title(kind),
        "action": action,
        "back": back,
        "spots": spots,
        "typed": typed or {spot.name: spot.start for spot in spots},
        "faults": faults,
        "specimens": typed_entries.SPECIMENS,
        "about_self": person.id == me().id,
    }
    return render_template("employer/entry_form.html", **context)
