"""Items of the bank as they were read: each with its edition (hash of its content) and the places of its file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, Generic, Protocol, TypeVar

from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.paper import PaperPlan
from trainer.bank.power import Power
from trainer.bank.question import NumberQuestion, Question, QuestionFile
from trainer.bank.reader import edition_of, read_model
from trainer.bank.technique import Technique
from trainer.bank.yamltext import Located, Place
from trainer.errors import Fault


class Named(Protocol):
    """A record with an id."""

    @property
    def id(self) -> str:
        """What it is called in the bank."""


Record = TypeVar("Record", bound=Named, covariant=True)


@dataclass(frozen=True, slots=True)
class Placed(Generic[Record]):
    """A record with the places of its file, so that a fault found later is told with its line."""

    record: Record
    located: Located = field(repr=False)

    @property
    def id(self) -> str:
        """The record's id."""
        return self.record.id


@dataclass(frozen=True, slots=True)
class Filed(Placed[Record]):
    """A record that is a file of its own, with its edition: the hash of its content."""

    edition: str

    @property
    def content(self) -> Any:
        """The plain data that the edition is of."""
        return self.located.data


class Entry(Filed[Drill]):
    """A drill of the bank."""

    __slots__ = ()

    @property
    def drill(self) -> Drill:
        """The drill as it was read."""
        return self.record


class JobEntry(Filed[Job]):
    """A job of the bank."""

    __slots__ = ()

    @property
    def job(self) -> Job:
        """The job as it was read."""
        return self.record


class TechniqueEntry(Filed[Technique]):
    """A technique of the bank."""

    __slots__ = ()

    @property
    def technique(self) -> Technique:
        """The technique as it was read."""
        return self.record


class PaperEntry(Placed[PaperPlan]):
    """A paper plan of the bank; a paper that was held keeps the plan itself, so there is no edition of it."""

    __slots__ = ()

    @property
    def plan(self) -> PaperPlan:
        """The plan as it was read."""
        return self.record


@dataclass(frozen=True, slots=True)
class QuestionEntry(Placed[Question | NumberQuestion]):
    """A question of a topic's file: its place in it, and the content of a file that would hold it alone."""

    topic: str
    edition: str
    content: Any = field(repr=False)
    place: Place

    @property
    def question(self) -> Question | NumberQuestion:
        """The question as it was read."""
        return self.record

    @property
    def confirmed(self) -> bool:
        """Whether it may be scored; what rests on memory may not. A drawn one is as good as its drill."""
        return not (isinstance(self.record, Question) and self.record.unconfirmed)

    def fault(self, says: str, *place: str | int) -> Fault:
        """Make a fault that points into this question."""
        return self.located.fault((*self.place, *place), says)


@dataclass(frozen=True, slots=True)
class PowerEntry:
    """What is asked of a pack, with the places of its file."""

    power: Power
    located: Located = field(repr=False)


def stored(data: object, name: str = "stored edition") -> Located:
    """The plain data of a stored edition, which has no lines to point at."""
    return Located(name, data, {(): (1, 1)})


def drill_of(data: object, name: str = "stored edition") -> Entry:
    """Read a drill from the plain data of a stored edition."""
    located = stored(data, name)
    return Entry(read_model(Drill, located), located, edition_of(data))


def job_of(data: object, name: str = "stored edition") -> JobEntry:
    """Read a job from the plain data of a stored edition."""
    located = stored(data, name)
    return JobEntry(read_model(Job, located), located, edition_of(data))


def question_of(data: Any, name: str = "stored edition") -> QuestionEntry:
    """Read a question from the plain data of a stored edition."""
    located = stored(data, name)
    return next(questions_in(read_model(QuestionFile, located), located))


def questions_in(file: QuestionFile, located: Located) -> Iterator[QuestionEntry]:
    """Take a topic's file apart; the content of each question is a file that holds it alone."""
    kinds: dict[str, Sequence[Question | NumberQuestion]] = {
        "questions": file.questions, "numbers": file.numbers
    }  # fmt: skip
    for kind, questions in kinds.items():
        for index, question in enumerate(questions):
            content = {"topic": file.topic, kind: [located.data[kind][index]]}
            place = (kind, index)
            yield QuestionEntry(question, located, file.topic, edition_of(content), content, place)
