"""The practicals of the demo shop: one held by two examiners and closed, one just being marked. All invented."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.examinations.practical import DONE, FALSE_CALLS, PARTLY
from trainer.services.examining import practicals, scoring_practicals, specimens

CHECKLIST = "yoke-ac-weld-1"
PIECES = (
    ("W7", "Bogie-frame weld, 300 mm", "toe crack; 112; 40; 9; must\ncrater crack; 241; 38; 5; must\nundercut crack; 60; 52; 14"),
    ("W9", "Side-plate weld, 260 mm", "crack across the weld; 88; 35; 12; must\ntoe crack; 190; 47; 6"),
    ("A3", "Draw hook, forged", "lap; 35; 20; 18; must\nfatigue crack; 71; 12; 7; must"),
)  # fmt: skip
PRESSED = 8  # points of the second practical that are marked already


def fill(session: Session, bank: Bank, ian: int, emma: int, trainees: tuple[int, ...], now: datetime) -> None:
    """Enter specimens and hold two practicals, where the bank has the checklist for them."""
    if CHECKLIST not in bank.practicals:
        return
    pieces = [specimens.enter(session, ian, *piece, now - timedelta(days=30)).id for piece in PIECES]
    held = now - timedelta(days=3)
    first = practicals.hold(session, bank, ian, trainees[0], CHECKLIST, pieces[0], 80, emma, held).id
    _mark(session, bank, ian, first, held, {"known-3": PARTLY})
    _mark(session, bank, emma, first, held, {"known-3": PARTLY, "yoke-overlap": PARTLY, FALSE_CALLS: "1"})
    scoring_practicals.close(session, bank, ian, [first], held)
    second = practicals.hold(session, bank, ian, trainees[1], CHECKLIST, pieces[1], 80, None, now).id
    for point in practicals.own(session, bank, ian, second).sheet.points[:PRESSED]:
        practicals.mark(session, bank, ian, second, point.id, DONE, None, now)


def _mark(
    session: Session, bank: Bank, examiner: int, sheet_id: int, now: datetime, others: dict[str, str]
) -> None:
    for point in practicals.own(session, bank, examiner, sheet_id).sheet.unmarked({}):
        mark = others.get(point, "0" if point == FALSE_CALLS else DONE)
        practicals.mark(session, bank, examiner, sheet_id, point, mark, None, now)
    practicals.stand_by(session, bank, examiner, sheet_id, now)
