"""Signing records beside the house: a person's own key, what waits for it, each record in full, the signature."""

from __future__ import annotations

from typing import Any

from flask import flash, redirect, render_template, url_for
from werkzeug.wrappers import Response

from trainer.errors import NotFound, Refused, Unreadable
from trainer.languages import _
from trainer.records import certificate
from trainer.services.keeping import passphrase_keys
from trainer.services.proving import personal_keys, record_signers, record_signing, signing_key
from trainer.services.proving.exporting import Made, verdict_kept
from trainer.services.qualifying.entry_words import KIND_WORDS
from trainer.store.models import Export, PersonalKey, RecordSigner
from trainer.web import downloads
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking.forms import Form
from trainer.web.asking.passphrases import AnotherPassphrase
from trainer.web.asking.signing_forms import ChangeKey, NamedKey, NewKey, SignForm
from trainer.web.sheets.days import dated, moment

bp = guarded_blueprint("signing", __name__, personal_keys.HOLDING, "/signing")
Page = str | tuple[str, int] | Response
MOST_SIGNED = 50


@bp.get("/")
def all_records() -> Page:
    """Show the own key, and every record that names one."""
    return _all()


@bp.post("/key")
def make_key() -> Page:
    """Make a key, sealed under a passphrase that nobody else knows."""
    form = NewKey(prefix="new-")
    new = form.fresh()
    if new is None:
        return _all(new=form), 422
    with parts().database.writing() as session:
        personal_keys.keep(session, me().id, new, parts().clock())
    flash(_("Your key is made. Nobody can open it without your passphrase, the house included."), "done")
    return _back()


@bp.post("/key/elsewhere")
def name_key() -> Page:
    """Name a key that is kept elsewhere."""
    form = NamedKey(prefix="named-")
    if form.validate():
        try:
            with parts().database.writing() as session:
                personal_keys.name(session, me().id, form.did.data, parts().clock())
        except (Refused, Unreadable) as fault:
            form.say(str(fault))
        else:
            flash(_("Named. Records can be made out to this key from now on."), "done")
            return _back()
    return _all(named=form), 422


@bp.post("/key/change")
def change_key() -> Page:
    """Put a new key in the place of the present one, which introduces it."""
    form = ChangeKey(prefix="change-")
    new = form.fresh()
    if new is not None:
        held = _held()
        with form.taking("old"):
            old = personal_keys.open_key(held, form.old.data)
            with parts().database.writing() as session:
                now, urn = parts().clock(), signing_key.fresh_urn()
                personal_keys.change(session, me().id, old, new, urn, now)
        if not form.errors:
            flash(
                _("Your key is changed. Send its introduction to everybody who has the old one on a list."),
                "done",
            )
            return _back()
    return _all(change=form), 422


@bp.post("/key/passphrase")
def change_passphrase() -> Page:
    """Seal the present key under another passphrase."""
    form = AnotherPassphrase(prefix="words-")
    if form.validate():
        held = _held()
        with form.taking("old"):
            key = personal_keys.open_key(held, form.old.data)
            with form.taking("passphrase"):
                new = passphrase_keys.under(key.seed, form.passphrase.data, form.again.data)
                with parts().database.writing() as session:
                    personal_keys.seal_anew(session, me().id, new, parts().clock())
        if not form.errors:
            flash(_("Your key has another passphrase. It is the same key: nobody has to be told."), "done")
            return _back()
    return _all(words=form), 422


@bp.post("/key/give-up")
def give_up_key() -> Page:
    """Sign with the present key no more."""
    with parts().database.writing() as session:
        personal_keys.give_up(session, me().id, parts().clock())
    flash(_("Given up. Tell everybody who has this key on a list up to which day it was safe."), "done")
    return _back()


@bp.post("/key/introduction")
def introduction() -> Page:
    """Hand out the file by which the own earlier key introduces the present one."""
    with parts().database.reading() as session:
        held = personal_keys.current(session, me().id)
        data = held.introduction if held else None
    if data is None:
        raise NotFound(_("There is no such introduction."))
    return downloads.response(Made("my-new-key.json", "application/json", data.encode("utf-8")))


@bp.get("/<int:export_id>", endpoint="record")
def record_page(export_id: int) -> Page:
    """Show a record in full; that it was before this person is kept."""
    page = _record(export_id, SignForm())
    with parts().database.writing() as session:
        record_signing.show(session, me().id, export_id, parts().clock())
    return page


@bp.post("/<int:export_id>/sign")
def sign(export_id: int) -> Page:
    """Sign a record that was before this person."""
    form = SignForm()
    with parts().database.reading() as session:
        record_signing.one(session, me().id, export_id)
    if form.validate():
        with form.taking():
            with parts().database.reading() as session:
                held = record_signing.may_sign(session, me().id, export_id)
            key = personal_keys.open_key(held, form.passphrase.data)
            with parts().database.writing() as session:
                record_signing.sign(session, me().id, export_id, key, parts().clock())
        if not form.errors:
            flash(_("Signed. The file and the certificate carry your signature from now on."), "done")
            return _back()
    return _record(export_id, form), 422


def _held() -> PersonalKey:
    with parts().database.reading() as session:
        return personal_keys.in_use(session, me().id)


def _all(**forms: Form) -> str:
    with parts().database.reading() as session:
        keys = personal_keys.all_of(session, me().id)
        waiting = [_line(row, export) for row, export in record_signing.waiting(session, me().id)]
        signed = [_line(row, export) for row, export in record_signing.signed(session, me().id, MOST_SIGNED)]
    held = next((key for key in keys if key.ended_at is None), None)
    for line in waiting:
        line["is_mine"] = held is not None and held.did == line["did"]
    empty = {
        "new": NewKey(prefix="new-"),
        "named": NamedKey(prefix="named-"),
        "change": ChangeKey(prefix="change-"),
        "words": AnotherPassphrase(prefix="words-"),
    }
    return render_template(
        "instructor/signing.html",
        held=held,
        made=moment(held.made_at) if held else "",
        earlier=[
            {"did": key.did, "made": moment(key.made_at), "ended": moment(key.ended_at)}
            for key in keys
            if key.ended_at
        ],
        waiting=waiting,
        signed=signed,
        forms=empty | forms,
        opened=list(forms),
    )


def _line(row: RecordSigner, export: Export) -> dict[str, Any]:
    document = certificate.shown(export.body.encode("utf-8"))
    return {
        "id": export.id,
        "who": f"{document['person']} {document['name']}",
        "says": verdict_kept(export),
        "role": _(row.role),
        "stated": row.role,
        "did": row.did,
        "made": moment(export.made_at),
        "signed": moment(row.signed_at) if row.signed_at else "",
    }


def _record(export_id: int, form: SignForm) -> str:
    with parts().database.reading() as session:
        row, export = record_signing.one(session, me().id, export_id)
        data = record_signers.file_of(session, export)
        held = personal_keys.current(session, me().id)
    return render_template(
        "instructor/record_to_sign.html",
        line=_line(row, export),
        shown=_shown(data),
        form=form,
        is_here=held is not None and held.did == row.did and held.wrapped is not None,
        is_mine=held is not None and held.did == row.did,
    )


def _shown(data: bytes) -> dict[str, Any]:
    """What the record says: its facts as they are signed, in English; its few fixed words and its days for the reader."""
    found = certificate.shown(data)
    for row in found["rows"]:
        row["verdict"], row["until"] = _(row["verdict"]), dated(row["until"] or "")
    for entry in found["entries"]:
        first, *last = map(dated, entry["days"].split(" to "))
        entry["days"] = _("%(first)s to %(last)s", first=first, last=last[0]) if last else first
        entry["kind"] = _(KIND_WORDS[entry["kind"]]) if entry["kind"] in KIND_WORDS else entry["kind"]
    for one in found["signatures"]:
        one["role"], one["time"] = _(one["role"]), dated(_(one["time"]))
    return found


def _back() -> Response:
    return redirect(url_for("signing.all_records"), 303)
