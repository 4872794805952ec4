"""Several-part jobs: one sheet for each job a person began, one row for each step answered."""

from __future__ import annotations

from datetime import datetime

from sqlalchemy import BigInteger, CheckConstraint, ForeignKey, String, UniqueConstraint
from sqlalchemy.orm import Mapped, mapped_column, relationship

from trainer.store.models.model import Digest, Json, Key, Line, Model, Word, one_of

STEP_VERDICTS = ("right", "wrong", "left out")


class JobSheet(Model):
    """One drawn job offered to one person, with the numbers shown and the editions of its drills.

    ``at_the_end``: verdicts are shown when the last step is answered, else after each step.
    """

    __tablename__ = "job_sheet"

    id: Mapped[Key]
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"), index=True)
    edition_hash: Mapped[Digest] = mapped_column(ForeignKey("edition.hash"))
    job_id: Mapped[Line]
    seed: Mapped[int] = mapped_column(BigInteger)
    snapshot: Mapped[Json]
    at_the_end: Mapped[bool]
    decimal: Mapped[Word | None]  # the person's sign when it was begun; None: the house's
    begun_at: Mapped[datetime]
    done_at: Mapped[datetime | None]

    answers: Mapped[list[JobAnswer]] = relationship(order_by="JobAnswer.position")


class JobAnswer(Model):
    """The one answer to a step; its text is empty where the step was left out.

    ``followed``: right for the person's own earlier answer, not for the right one. ``key`` comes with the
    form: sent twice, it is kept once.
    """

    __tablename__ = "job_answer"
    __table_args__ = (
        CheckConstraint(one_of("verdict", STEP_VERDICTS), name="verdict"),
        UniqueConstraint("person_id", "key"),
        UniqueConstraint("sheet_id", "position"),
    )

    id: Mapped[Key]
    sheet_id: Mapped[int] = mapped_column(ForeignKey("job_sheet.id"))
    person_id: Mapped[int] = mapped_column(ForeignKey("person.id"))
    position: Mapped[int]
    text: Mapped[str] = mapped_column(String(2000))
    verdict: Mapped[Word]
    slip: Mapped[Line | None]
    followed: Mapped[bool]
    marks: Mapped[int]
    key: Mapped[Word | None]
    answered_at: Mapped[datetime]
