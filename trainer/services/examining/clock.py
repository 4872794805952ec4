"""What a clock that is set back does to examinations: every running paper goes back with it, from its start to its end."""

from __future__ import annotations

from datetime import datetime, timedelta

from sqlalchemy import select
from sqlalchemy.orm import Session

from trainer.services.keeping import audit
from trainer.store.models import Sitting

SAME = timedelta(minutes=1)
LATELY = 50  # links of the chain


def set_back(session: Session, back: timedelta, now: datetime) -> int:
    """Move the times of papers that are being sat, so that nobody gains any; return of how many papers.

    ``now`` is what the clock says since. A second trainer on the same records sees the same clock: what it tells
    within a minute of the first is the same, and nothing is moved again.
    """
    if any(_tells_of_it(link.event, link.time, now) for link in audit.recent(session, LATELY)):
        return 0
    moved = 0
    for sitting in session.scalars(select(Sitting).where(Sitting.state.in_(("open", "paused")))):
        running = [paper for paper in sitting.papers if paper.handed_in_at is None]
        for paper in running:
            paper.started_at -= back
            paper.deadline -= back
            for row in paper.answers:
                row.saved_at = row.saved_at and row.saved_at - back
        if sitting.state == "paused":
            since = datetime.fromisoformat(sitting.plan["paused_at"]) - back
            sitting.plan = {**sitting.plan, "paused_at": since.isoformat()}
        moved += len(running)
        minutes = round(back / timedelta(minutes=1))
        audit.note(session, None, "clock set back", sitting.id, now, facts={"minutes": minutes})
    return moved


def _tells_of_it(event: dict[str, object], time: str, now: datetime) -> bool:
    return event["what"] == "clock set back" and abs(datetime.fromisoformat(time) - now) < SAME
