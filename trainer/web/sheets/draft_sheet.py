"""Turn a draft and what its text was found to be into the plain data that its pages take."""

from __future__ import annotations

from collections.abc import Mapping
from difflib import unified_diff
from typing import Any

from trainer.bank import Entry, PracticalEntry, QuestionEntry
from trainer.bank.practical import Practical
from trainer.drills.draw import draw
from trainer.drills.marking import written
from trainer.errors import TrainerError
from trainer.languages import N_, _
from trainer.questions import telling
from trainer.questions.ask import ask
from trainer.services.admitting.accounts import Named
from trainer.services.authoring import drafts
from trainer.services.authoring.draft_text import Checked
from trainer.services.keeping import own_contents
from trainer.store.models import Draft, DraftRevision
from trainer.web.sheets import practical_sheet, presenting, question_sheet
from trainer.web.sheets.days import moment

KIND_WORDS = {"question": N_("Question"), "drill": N_("Drill"), "practical": N_("Checklist")}
MOST_SHOWN = 90  # characters of a faulty line that are shown beside its fault


def faults_view(found: Checked, text: str) -> list[dict[str, Any]]:
    """Return each fault with its line and what stands there."""
    lines = text.splitlines()
    return [
        {
            "line": fault.line,
            "says": fault.says,
            "stands": lines[fault.line - 1].strip()[:MOST_SHOWN] if fault.line <= len(lines) else "",
        }
        for fault in found.faults
    ]


def preview(found: Checked, seed: int) -> dict[str, Any] | None:
    """Return the item as somebody will meet it; None where it cannot be drawn yet."""
    try:
        if isinstance(found.item, QuestionEntry):
            return _question(found, found.item, seed)
        if isinstance(found.item, Entry):
            return _drill(found, found.item, seed)
    except (TrainerError, ArithmeticError, ValueError, LookupError):
        return None  # the faults beside it say why
    return _practical(found, found.item.practical) if isinstance(found.item, PracticalEntry) else None


def _question(found: Checked, entry: QuestionEntry, seed: int) -> dict[str, Any]:
    asked = ask(found.shelf, entry, seed)
    return {
        "kind": "question",
        "view": question_sheet.question_view(asked),
        "reasons": question_sheet.reasons_view(asked, ""),
        "sources": telling.sources(asked),
    }


def _drill(found: Checked, entry: Entry, seed: int) -> dict[str, Any]:
    drawn = [found.shelf.mould_of(entry, find) for find in entry.drill.finds]
    pairs = [(mould, draw(mould, seed)) for mould in drawn]
    first = pairs[0]
    slips = entry.drill.slips
    return {
        "kind": "drill",
        "view": presenting.exercise_view(*first),
        "working": presenting.working_view(found.shelf.bank, *first),
        "finds": [
            {
                "ask": presenting.ask(entry.drill, mould.find),
                "given": ", ".join(presenting.given_words(mould, exercise)),
                "answer": presenting.answer_words(mould, exercise),
                "slips": [(slips[one.place].name, written(mould, one.value)) for one in exercise.slips],
            }
            for mould, exercise in pairs
        ],
    }


def _practical(found: Checked, checklist: Practical) -> dict[str, Any]:
    return {
        "kind": "practical",
        "checklist": checklist,
        "areas": practical_sheet.empty_areas(checklist),
        "cautions": practical_sheet.cautions(found.shelf.bank, checklist),
    }


def row(draft: Draft, by_id: Mapping[int, Named]) -> dict[str, Any]:
    """Return one line of the list of drafts."""
    last, state = drafts.newest(draft), drafts.state(draft)
    live = drafts.live(draft)
    return {
        "id": draft.id,
        "name": own_contents.id_of(last.place) or _("without an id yet, number %(n)s", n=draft.id),
        "kind": _(KIND_WORDS[draft.kind]),
        "revision": last.number,
        "author": by_id[last.author_id].name,
        "state": state,
        "says": _(state),
        "open": state in {drafts.OPEN, drafts.WAITS, drafts.BACK},
        "in_use": _("revision %(n)s", n=live.number) if live else _("no"),
    }


def deeds(draft: Draft, by_id: Mapping[int, Named]) -> list[dict[str, Any]]:
    """Return everything that was done with a draft, newest first: what, by whom, when, why."""
    told = [
        (one.written_at, _told(one, N_("written"), by_id[one.author_id], one.written_at))
        for one in draft.revisions
    ]
    told += [
        (act.done_at, _told(revision, act.act, by_id[act.by_id], act.done_at, act.reason))
        for act, revision in drafts.history(draft)
    ]
    return [line for _at, line in sorted(told, key=lambda pair: pair[0])][::-1]


def _told(revision: DraftRevision, what: str, who: Named, at: Any, why: str = "") -> dict[str, Any]:
    return {
        "revision": revision.number,
        "what": _(what),
        "who": who.name,
        "when": moment(at),
        "why": why,
        "changes": what == "written" and revision.number > 1,
    }


def changes(before: str, after: str) -> list[tuple[str, str]]:
    """Return the lines that differ between two wordings with three around them: kind (in, out, same, gap), text."""
    kinds = {"+": "in", "-": "out", " ": "same", "@": "gap"}
    lines = list(unified_diff(before.splitlines(), after.splitlines(), lineterm=""))[2:]
    return [(kinds[line[0]], "" if line[0] == "@" else line[1:]) for line in lines]
