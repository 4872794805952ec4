"""Builders of drafts: texts to write, and drafts that wait for a second person or were approved by one."""

from __future__ import annotations

import re
from pathlib import Path

from sqlalchemy.orm import Session

from tests.make import NOW
from trainer.drills.shelf import Shelf
from trainer.services.authoring import approved, banks, drafts, own_bank
from trainer.services.authoring.draft_text import start
from trainer.store.models import Draft

TEXT = start("question")


def level_ii(builds_on: str, checkpoint: str = "own-judged") -> str:
    """A Level II checklist that builds on another."""
    text = (
        start("practical").replace("own-practical-1", "own-practical-2").replace("level: I\n", "level: II\n")
    )
    head, _, rest = text.partition("checkpoints:\n")
    weights = "weights: {apparatus: 15, application: 25, detection: 45, instruction: 15}\n"
    head = re.sub(r"weights: .*\n", weights, head)
    head = head.replace("level: II\n", f"level: II\nbuilds_on: {builds_on}\n")
    point = f"    - {{id: {checkpoint}, text: The instruction states the current.}}\n"
    return f"{head}checkpoints:\n  instruction:\n{point}{rest[rest.index('findings:') :]}"


def waiting(session: Session, shelf: Shelf, by_id: int, text: str = TEXT, kind: str = "question") -> Draft:
    """A draft that waits for a second person."""
    draft = drafts.write(session, by_id, kind, text, NOW)
    drafts.put_forward(session, shelf, by_id, draft.id, 1, NOW)
    return draft


def revised(session: Session, shelf: Shelf, by_id: int, draft: Draft, text: str) -> None:
    """Have another revision of it put forward."""
    number = len(draft.revisions)
    drafts.revise(session, by_id, draft.id, number, text, NOW)
    drafts.put_forward(session, shelf, by_id, draft.id, number + 1, NOW)


def settled(session: Session, folder: Path) -> dict[str, str]:
    """What lies in the folder once it holds what is approved."""
    own_bank.settle(folder, approved.standing(session))
    files = sorted(folder.rglob("*.yaml")) if folder.exists() else []
    return {file.relative_to(folder).as_posix(): file.read_text(encoding="utf-8") for file in files}


def in_bank(
    session: Session, shelf: Shelf, folder: Path, author: int, reader: int, text: str = TEXT
) -> tuple[Draft, Shelf]:
    """A question approved and laid into the folder, and the bank that is opened then."""
    draft = waiting(session, shelf, author, text)
    drafts.approve(session, shelf, folder, reader, draft.id, 1, NOW)
    settled(session, folder)
    return draft, banks.open_shelf(folder)
