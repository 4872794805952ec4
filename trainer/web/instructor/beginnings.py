"""What a list of drills can begin with, in one press: a topic at one level, or an earlier set."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from flask import request

from trainer.bank import Bank, topic_title
from trainer.errors import NotFound
from trainer.languages import _
from trainer.services.keeping import paging
from trainer.services.teaching import sets
from trainer.store.models.classes import LEVELS
from trainer.web.access import me
from trainer.web.asking import forms
from trainer.web.instructor.choosing import Ticks, beginning

if TYPE_CHECKING:
    from sqlalchemy.orm import Session

Group = tuple[str, list[tuple[str, str]]]


@dataclass(frozen=True, slots=True)
class Beginning:
    """A name to begin with, and the drills."""

    title: str
    drills: Ticks


def offered(session: Session, bank: Bank, scored: bool = False) -> list[Group]:
    """What there is to choose from, in two groups of (value, words); ``scored``: only what may be examined."""
    whole = [
        (f"{topic}/{level}", f"{_title(topic, level)} ({len(drills)})")
        for (topic, level), drills in _topics(bank, scored).items()
    ]
    own = sets.sets_of(session, me().id, paging.wished("", "")).rows
    earlier = [(f"set-{one.id}", f"{one.title} ({len(one.lines)})") for one in own]
    return [(_("Topics"), whole), (_("Own sets, the newest first"), earlier)]


def taken(session: Session, bank: Bank, scored: bool = False) -> Beginning | None:
    """What was chosen in the form; nothing where no such press was made. Raises NotFound for what is not offered."""
    wanted = request.form.get("like", "") if beginning() else ""
    if wanted.startswith("set-"):
        return like(session, forms.number(wanted.removeprefix("set-")))
    topic, _slash, level = wanted.partition("/")
    found = _topics(bank, scored).get((topic, level))
    if wanted and found is None:
        raise NotFound(_("There is no such thing. Load the page anew."))
    if not found:
        return None
    return Beginning(sets.free_title(session, me().id, _title(topic, level)), dict.fromkeys(found))


def like(session: Session, set_id: int) -> Beginning:
    """An own set, under a name that is still free."""
    found = sets.own_set(session, me().id, set_id)
    title = sets.title_of_copy(session, me().id, found.title)
    return Beginning(title, {line.drill_id: line.find for line in found.lines})


def _topics(bank: Bank, scored: bool) -> dict[tuple[str, str], list[str]]:
    held = {
        (topic, level): [drill.id for drill in drills if drill.level == level]
        for topic, drills in bank.topics(scored).items()
        for level in LEVELS
    }
    return {key: drills for key, drills in held.items() if drills}


def _title(topic: str, level: str) -> str:
    return _("%(topic)s, Level %(level)s", topic=topic_title(topic), level=level)
