"""Own items for the bank: the list, and the sheet on which one is written with every check beside it."""

from __future__ import annotations

import secrets
from collections.abc import Sequence
from typing import Any

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.bank import topic_title
from trainer.errors import Conflict, Refused
from trainer.languages import _
from trainer.services.admitting import accounts
from trainer.services.authoring import draft_text, drafts, own_seal
from trainer.store.models import Draft
from trainer.web.access import guarded_blueprint, me, parts
from trainer.web.asking import paging
from trainer.web.asking.forms import Form
from trainer.web.asking.passphrases import AnotherPassphrase
from trainer.web.asking.sitting_forms import OwnSealForm, OwnUnlockForm
from trainer.web.closing import closed_in_a_sitting
from trainer.web.sheets import draft_sheet

bp = closed_in_a_sitting(guarded_blueprint("drafts", __name__, drafts.WRITING, "/drafts"))
Page = str | tuple[str, int] | Response
LARGEST_SEED = 9999


@bp.get("/")
def all_drafts() -> Page:
    """Every draft of the house, and what to begin one from."""
    return page()


def page(told: Sequence[str] = (), **forms: Form) -> str:
    """The list with the forms around it: what is told of a file that was sent, one of the passphrase as it was sent."""
    with parts().database.reading() as session:
        seal = own_seal.of_house(session, me().id)
        locked = own_seal.is_locked(session, seal)
        found, waiting = (
            drafts.of_house(session, me().id, paging.asked()),
            drafts.how_many_wait(session, me().id),
        )
        by_id = accounts.named(session, (drafts.newest(one).author_id for one in found.rows))
        rows = found.showing([draft_sheet.row(one, by_id) for one in found.rows])
    bank = parts().bank
    topics = [
        *(
            ("questions/" + one, _("Questions: %(topic)s", topic=_words(one)))
            for one in sorted({q.topic for q in bank.questions.values()})
        ),
        *(
            ("drills/" + one, _("Drills: %(topic)s", topic=_words(one)))
            for one in sorted({d.drill.topic for d in bank.drills.values()})
        ),
    ]
    return render_template(
        "instructor/drafts.html", rows=rows, kinds={kind: _(words) for kind, words in draft_sheet.KIND_WORDS.items()}, topics=topics,
        waiting=waiting, sealed=seal is not None, locked=locked,
        told=[("file", says) for says in told], opened=list(forms),
        **{
            "seal": OwnSealForm(formdata=None), "unlock": OwnUnlockForm(formdata=None, prefix="unlock-"),
            "change": AnotherPassphrase(formdata=None, prefix="change-"),
            "off": OwnUnlockForm(formdata=None, prefix="off-"), **forms,
        },
    )  # fmt: skip


@bp.get("/new/<kind>")
def new_draft(kind: str) -> Page:
    """A sound item to begin from."""
    return _sheet(kind, draft_text.start(kind))


@bp.post("/new/<kind>")
def begin_draft(kind: str) -> Page:
    """Check what was typed, or keep it as a draft."""
    text = _typed(draft_text.start(kind))
    if request.form.get("do") != "keep":
        return _sheet(kind, text)
    try:
        with parts().database.writing() as session:
            made = drafts.write(session, me().id, kind, text, parts().clock()).id
    except Refused as fault:
        return _sheet(kind, text, fault=str(fault)), 422
    flash(_("Kept as a draft. Nobody is asked it before a second person has approved it."), "done")
    return redirect(url_for("drafts.draft", draft_id=made), 303)


@bp.get("/<int:draft_id>/write")
def rewrite_draft(draft_id: int) -> Page:
    """The newest wording, to be changed."""
    found = _own(draft_id)
    return _sheet(found.kind, drafts.newest(found).text, found)


@bp.post("/<int:draft_id>/write")
def keep_draft(draft_id: int) -> Page:
    """Check what was typed, or keep it as another revision."""
    found = _own(draft_id)
    text = _typed(drafts.newest(found).text)
    if request.form.get("do") != "keep":
        return _sheet(found.kind, text, found)
    try:
        with parts().database.writing() as session:
            drafts.revise(session, me().id, draft_id, _number(), text, parts().clock())
    except (Refused, Conflict) as fault:
        return _sheet(found.kind, text, found, str(fault)), fault.status
    flash(_("Kept as another revision. It takes the place of the last one once it is approved."), "done")
    return redirect(url_for("drafts.draft", draft_id=draft_id), 303)


@bp.post("/check/<kind>")
def check_draft(kind: str) -> Page:
    """What the checks say to a new text: the region beside it alone, for the script that asks while one types."""
    draft_text.start(kind)
    return render_template("instructor/draft_check.html", **checked(kind, _typed(""), _seed()))


@bp.post("/<int:draft_id>/check")
def check_revision(draft_id: int) -> Page:
    """The same for a text that is to take the place of another."""
    found = _own(draft_id)
    view = checked(found.kind, _typed(""), _seed(), drafts.own_id(found))
    return render_template("instructor/draft_check.html", **view)


def checked(kind: str, text: str, seed: int, own: str = "") -> dict[str, Any]:
    """What instructor/draft_check.html needs: the faults of a text with their lines, and its preview."""
    found = draft_text.check(parts().shelf, kind, text, own)
    return {
        "faults": draft_sheet.faults_view(found, text),
        "preview": draft_sheet.preview(found, seed),
        "seed": seed,
    }


def _sheet(kind: str, text: str, draft: Draft | None = None, fault: str = "") -> str:
    own = drafts.own_id(draft) if draft is not None else ""
    number = request.form.get("number", "")[:9] if fault else ""
    seed = _seed() + (request.form.get("do") == "other")
    return render_template(
        "instructor/draft_form.html", kind=kind, words=_(draft_sheet.KIND_WORDS[kind]), text=text, fault=fault,
        draft_id=draft.id if draft is not None else None, largest=draft_text.LARGEST,
        number=number or (drafts.newest(draft).number if draft is not None else ""),
        **checked(kind, text, seed, own),
    )  # fmt: skip


def _words(topic: str) -> str:
    title = topic_title(topic)
    return title[:1].lower() + title[1:]


def _own(draft_id: int) -> Draft:
    with parts().database.reading() as session:
        return drafts.one(session, me().id, draft_id)


def _typed(otherwise: str) -> str:
    return drafts.plain(request.form.get("text", otherwise))


def _number() -> int:
    return request.form.get("number", 0, type=int)


def _seed() -> int:
    seed = request.form.get("seed", type=int)
    return secrets.randbelow(LARGEST_SEED) if seed is None else min(max(seed, 0), LARGEST_SEED)
