"""The outline of a standing: what the lists of a house need of one person, in no language and without the history."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import date, timedelta

from trainer.languages import _
from trainer.qualification import Level, Row, Scheme, Standing, Verdict

SOON = 30  # days before its end from which something is called due soon


@dataclass(frozen=True, slots=True)
class Outline:
    """Scheme, level and verdict by which somebody was judged, the rows without their sentences, and what runs out.

    ``dues`` are the last good days with the names of their rows, first to last.
    """

    person_id: int
    scheme: Scheme
    level: Level
    overall: Verdict
    rows: tuple[Row, ...]
    dues: tuple[tuple[date, str], ...]

    @classmethod
    def of(cls, person_id: int, judged: Standing) -> Outline:
        """The outline of somebody's standing."""
        rows = tuple(replace(row, says="", missing="") for row in judged.prerequisites)
        dues = tuple(sorted((row.until, row.id) for row in rows if row.until is not None))
        return cls(person_id, judged.scheme, judged.level, judged.overall, rows, dues)

    def row(self, identity: str) -> Row | None:
        """The row of this name, or None where the scheme has none."""
        return next((row for row in self.rows if row.id == identity), None)

    @property
    def first_due(self) -> date:
        """The day on which the first thing runs out or has run out; the last of all days where nothing does."""
        return self.dues[0][0] if self.dues else date.max

    @property
    def works(self) -> bool:
        """Whether certificate and near vision are current, as far as the records tell."""
        held, vision = self.row("certificate_current"), self.row("vision_near")
        return (
            held is not None
            and held.verdict is Verdict.MET
            and (vision is None or vision.verdict is Verdict.MET)
        )

    @property
    def may_work(self) -> str:
        """What this person may do today as far as the records tell."""
        held = self.row("certificate_current")
        if held is None:
            return _("under supervision: no certificate on record")
        level = self.level
        if held.verdict is not Verdict.MET:
            return _("under supervision: Level %(level)s certificate ran out", level=level)
        vision = self.row("vision_near")
        if vision is not None and vision.verdict is Verdict.EXPIRED:
            return _("not Level %(level)s work: near vision ran out", level=level)
        if vision is not None and vision.verdict is not Verdict.MET:
            return _("not Level %(level)s work: near vision not met", level=level)
        return _("Level %(level)s work: certificate and near vision current", level=level)


def ran_out(outline: Outline, on: date) -> bool:
    """Whether something has run out on a day."""
    return outline.first_due < on


def due_soon(outline: Outline, on: date) -> bool:
    """Whether something is about to run out on a day."""
    return any(on <= until <= on + timedelta(days=SOON) for until, _row in outline.dues)
