"""Drafts of own items: written by one, approved by another, kept in every wording.

What is approved stands in the bank of this installation (`services/authoring/own_bank`) until another revision of it is
approved or it is withdrawn. Every act leaves a link with the digest of the text.
"""

from __future__ import annotations

from datetime import datetime
from hashlib import sha256
from pathlib import Path

from sqlalchemy import Select, func, select
from sqlalchemy.orm import Session, selectinload

from trainer.bank import Bank
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.languages import N_, _
from trainer.services.admitting import accounts
from trainer.services.admitting.entitlements import EXAMINING
from trainer.services.authoring import draft_text, own_bank, own_seal, own_uses
from trainer.services.keeping import audit, own_contents, paging
from trainer.services.keeping.paging import Page, Wish
from trainer.store.models import Draft, DraftAct, DraftRevision
from trainer.store.models.drafts import APPROVED, KINDS, PUT_FORWARD, SENT_BACK, WITHDRAWN

WRITING = EXAMINING
"""Who writes and approves: whoever may examine."""
MOST_REASON = 200
MOST_LINES = 1000  # comparing two wordings takes time with the square of it
WRITTEN = "draft written"
OPEN = N_("draft")
WAITS, BACK = N_("waits for a second person"), N_("sent back")
_STATES = {PUT_FORWARD: WAITS, APPROVED: N_("approved"), SENT_BACK: BACK, WITHDRAWN: N_("withdrawn")}
_ANY = select(Draft.table().c.id).limit(1)


def state(draft: Draft) -> str:
    """How the newest revision stands: draft, waits for a second person, approved, sent back or withdrawn."""
    acts = newest(draft).acts
    return _STATES[acts[-1].act] if acts else OPEN


def newest(draft: Draft) -> DraftRevision:
    """The revision written last."""
    return draft.revisions[-1]


def live(draft: Draft) -> DraftRevision | None:
    """The revision that stands in the bank, if one does."""
    found = None
    for act, revision in history(draft):
        if act.act in {APPROVED, WITHDRAWN}:
            found = revision if act.act == APPROVED else None
    return found


def history(draft: Draft) -> list[tuple[DraftAct, DraftRevision]]:
    """Everything that was done with a draft, in its order."""
    acts = [(act, revision) for revision in draft.revisions for act in revision.acts]
    return sorted(acts, key=lambda pair: pair[0].id)


def own_id(draft: Draft) -> str:
    """The id under which it stands in the bank; empty where it does not."""
    found = live(draft)
    return own_contents.id_of(found.place) if found is not None else ""


def write(session: Session, by_id: int, kind: str, text: str, now: datetime) -> Draft:
    """Begin a draft, faulty or not. Raises NotFound for a kind there is none of, Refused for size."""
    if kind not in KINDS:
        raise NotFound(_("There is no such kind of item. Choose one offered."))
    home = accounts.colleague(session, by_id, by_id).organisation_id
    draft = Draft(organisation_id=home, kind=kind)
    session.add(draft)
    _add(session, draft, by_id, text, now)
    return draft


def revise(
    session: Session, by_id: int, draft_id: int, number: int, text: str, now: datetime
) -> DraftRevision:
    """Write another revision over number ``number``.

    Raises NotFound, Conflict where somebody else wrote one meanwhile, Refused where nothing differs.
    """
    draft = one(session, by_id, draft_id)
    _current(draft, number)
    if plain(text) == own_seal.text_of(newest(draft)):
        raise Refused(_("Nothing differs from the last revision. Change the text, or leave this page."))
    return _add(session, draft, by_id, text, now)


def put_forward(
    session: Session, shelf: Shelf, by_id: int, draft_id: int, number: int, now: datetime
) -> None:
    """Ask for a second person's approval. Raises NotFound, Conflict, Refused for a text with faults."""
    draft = one(session, by_id, draft_id)
    revision = _current(draft, number)
    if state(draft) != OPEN:
        raise Conflict(_("This revision was put forward already. Write another one to change it."))
    _sound(shelf, draft, revision)
    _act(session, revision, by_id, PUT_FORWARD, "", now)


def approve(
    session: Session, shelf: Shelf, folder: Path, by_id: int, draft_id: int, number: int, now: datetime
) -> None:
    """Approve what waits, by somebody who wrote no word of it since the last approval.

    It goes into the bank in ``folder`` once this is kept (`own_bank.settle`). Raises NotFound, NotAllowed,
    Conflict, Refused for a text that has faults by now or whose file is there already.
    """
    draft = one(session, by_id, draft_id)
    revision = _waiting(draft, number)
    if by_id in authors(draft):
        raise NotAllowed(_("You wrote at this draft, so another person must approve it."))
    _sound(shelf, draft, revision)
    _free(session, folder, draft, revision.place)
    if not draft_text.is_for_examinations(draft.kind, own_seal.text_of(revision)):
        own_seal.lay_open(revision)  # everybody meets it in practice
    _act(session, revision, by_id, APPROVED, "", now)


def send_back(session: Session, by_id: int, draft_id: int, number: int, reason: str, now: datetime) -> None:
    """Do not approve what waits, and say why. Raises NotFound, Conflict, Refused without a reason."""
    revision = _waiting(one(session, by_id, draft_id), number)
    _act(session, revision, by_id, SENT_BACK, _reason(reason), now)


def withdraw(
    session: Session, bank: Bank, by_id: int, draft_id: int, number: int, reason: str, now: datetime
) -> None:
    """Take an item out of the bank, or a draft off the list.

    Raises NotFound, Conflict also while others rest on it, Refused without a reason.
    """
    draft = one(session, by_id, draft_id)
    revision = _current(draft, number)
    if state(draft) == _STATES[WITHDRAWN]:
        raise Conflict(_("This was withdrawn already. Load the page anew."))
    if item := own_id(draft):
        own_uses.refuse_if_used(session, bank, draft.organisation_id, item)
    _act(session, revision, by_id, WITHDRAWN, _reason(reason), now)


def one(session: Session, by_id: int, draft_id: int) -> Draft:
    """A draft of the asker's house, with everything of it. Raises NotFound for any other, NotNow while it is locked."""
    found = session.scalar(_with_all().where(Draft.id == draft_id))
    if found is None or found.organisation_id != accounts.colleague(session, by_id, by_id).organisation_id:
        raise NotFound(_("There is no such draft."))
    own_seal.open_for_reading(found)
    return found


def of_house(session: Session, by_id: int, wish: Wish) -> Page[Draft]:
    """A page of the drafts of the asker's house, the newest first, searched by where an item stands and what it says."""
    home = accounts.colleague(session, by_id, by_id).organisation_id
    wanted = _with_all().where(Draft.organisation_id == home).order_by(Draft.id.desc())
    newest = select(DraftRevision.place + " " + DraftRevision.text).where(DraftRevision.draft_id == Draft.id)
    said = newest.order_by(DraftRevision.number.desc()).limit(1).scalar_subquery()
    return paging.page(session, wanted, wish, Draft.kind, said)


def how_many_wait(session: Session, by_id: int) -> int:
    """How many drafts of the asker's house wait for a second person."""
    home = accounts.colleague(session, by_id, by_id).organisation_id
    newest = select(func.max(DraftRevision.id)).where(DraftRevision.draft_id == Draft.id).scalar_subquery()
    last = select(DraftAct.act).where(DraftAct.revision_id == newest).order_by(DraftAct.id.desc()).limit(1)
    waiting = select(Draft).where(Draft.organisation_id == home, last.scalar_subquery() == PUT_FORWARD)
    return paging.count(session, waiting)


def people_in(draft: Draft) -> set[int]:
    """The ids of everybody who wrote at it or did something with it."""
    acting = {act.by_id for revision in draft.revisions for act in revision.acts}
    return acting | {revision.author_id for revision in draft.revisions}


def authors(draft: Draft) -> set[int]:
    """Who wrote at it since it was approved the last time."""
    approved = live(draft)
    since = approved.number if approved is not None else 0
    return {revision.author_id for revision in draft.revisions if revision.number > since}


def plain(text: str) -> str:
    """A text as it is kept: one kind of line end, no spaces at the ends of lines, one line end at the end."""
    return "\n".join(line.rstrip() for line in text.strip("\ufeff").splitlines()).strip("\n") + "\n"


def _with_all() -> Select[Draft]:
    return select(Draft).options(selectinload(Draft.revisions).selectinload(DraftRevision.acts))


def every(session: Session) -> list[Draft]:
    """The drafts of every house."""
    if session.execute(_ANY).first() is None:
        return []  # asked at every start, and most houses write nothing of their own
    return list(session.scalars(_with_all().order_by(Draft.id)))


def _add(session: Session, draft: Draft, by_id: int, text: str, now: datetime) -> DraftRevision:
    kept = plain(text)
    if len(kept) > draft_text.LARGEST:
        raise Refused(
            _("The text has more than %(largest)s characters; shorten it.", largest=draft_text.LARGEST)
        )
    if kept.count("\n") > MOST_LINES:
        raise Refused(_("The text has more than %(most_lines)s lines; shorten it.", most_lines=MOST_LINES))
    number = len(draft.revisions) + 1
    place = draft_text.place_of(draft.kind, kept)
    row = DraftRevision(number=number, text=kept, place=place, author_id=by_id, written_at=now)
    facts = _facts(row)
    own_seal.shut(session, draft.organisation_id, row)
    draft.revisions.append(row)
    session.flush()  # its number is needed for the note
    audit.note(session, by_id, WRITTEN, draft.id, now, facts=facts)
    return row


def _act(session: Session, row: DraftRevision, by_id: int, act: str, reason: str, now: datetime) -> None:
    row.acts.append(DraftAct(act=act, reason=reason, by_id=by_id, done_at=now))
    session.flush()
    audit.note(session, by_id, f"draft {act}", row.draft_id, now, facts=_facts(row))


def _facts(row: DraftRevision) -> dict[str, str | int | None]:
    return {"revision": row.number, "digest": sha256(own_seal.text_of(row).encode()).hexdigest()}


def _sound(shelf: Shelf, draft: Draft, revision: DraftRevision) -> None:
    text = own_seal.text_of(revision)
    found = draft_text.check(shelf, draft.kind, text, own_id(draft), draft_text.MANY)
    if not found.sound:
        raise Refused(
            _("There are faults in it still. Write another revision; the faults stand beside the text.")
        )


def _current(draft: Draft, number: int) -> DraftRevision:
    revision = newest(draft)
    if revision.number != number:
        raise Conflict(
            _(
                "Revision %(number)s was written meanwhile. Open the draft anew and look at it first.",
                number=revision.number,
            )
        )
    return revision


def _waiting(draft: Draft, number: int) -> DraftRevision:
    revision = _current(draft, number)
    if state(draft) != WAITS:
        raise Conflict(_("This does not wait for approval any more. Load the page anew."))
    return revision


def _free(session: Session, folder: Path, draft: Draft, place: str) -> None:
    """Refuse a place or an id that is another's: approving must overwrite nobody's work."""
    before = live(draft)
    if before is not None and before.place == place:
        return
    if before is not None:
        raise Conflict(
            _(
                "It stands in the bank as %(place)s. Keep its topic, or withdraw it and begin another draft.",
                place=before.place,
            )
        )
    ids = {own_id(other) for other in every(session)}
    if own_contents.id_of(place) in ids or not own_bank.is_free(folder, place):
        raise Conflict(
            _(
                "There is a file %(place)s already, or another item with its id. Send this back for another id.",
                place=place,
            )
        )


def _reason(reason: str) -> str:
    why = " ".join(reason.split())
    if not why or len(why) > MOST_REASON:
        raise Refused(_("Say in 1 to %(most_reason)s characters why.", most_reason=MOST_REASON))
    return why
