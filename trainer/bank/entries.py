"""Items of the bank as they were read: each with its edition (hash of its content) and the places of its file."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.paper import PaperPlan
from trainer.bank.power import Power
from trainer.bank.question import NumberQuestion, Question, QuestionFile
from trainer.bank.reader import edition_of, read_model
from trainer.bank.technique import Technique
from trainer.bank.yamltext import Located, Place
from trainer.errors import Fault


@dataclass(frozen=True, slots=True)
class Entry:
    """A drill with its edition (hash of its content) and the places of its file."""

    drill: Drill
    edition: str
    located: Located = field(repr=False)

    @property
    def id(self) -> str:
        """The drill's id."""
        return self.drill.id

    @property
    def content(self) -> Any:
        """The plain data that the edition is of."""
        return self.located.data


@dataclass(frozen=True, slots=True)
class JobEntry:
    """A job with its edition (hash of its content) and the places of its file."""

    job: Job
    edition: str
    located: Located = field(repr=False)

    @property
    def id(self) -> str:
        """The job's id."""
        return self.job.id

    @property
    def content(self) -> Any:
        """The plain data that the edition is of."""
        return self.located.data


@dataclass(frozen=True, slots=True)
class QuestionEntry:
    """A question of a topic's file with its edition (hash of its content), its file and its place in it."""

    question: Question | NumberQuestion
    topic: str
    edition: str
    content: Any = field(repr=False)
    located: Located = field(repr=False)
    place: Place

    @property
    def id(self) -> str:
        """The question's id."""
        return self.question.id

    @property
    def confirmed(self) -> bool:
        """Whether it may be scored; what rests on memory may not. A drawn one is as good as its drill."""
        return not (isinstance(self.question, Question) and self.question.unconfirmed)

    def fault(self, says: str, *place: str | int) -> Fault:
        """Make a fault that points into this question."""
        return self.located.fault((*self.place, *place), says)


@dataclass(frozen=True, slots=True)
class PaperEntry:
    """A paper plan with the places of its file."""

    plan: PaperPlan
    located: Located = field(repr=False)

    @property
    def id(self) -> str:
        """The plan's id."""
        return self.plan.id


@dataclass(frozen=True, slots=True)
class TechniqueEntry:
    """A technique with its edition (hash of its content) and the places of its file."""

    technique: Technique
    edition: str
    located: Located = field(repr=False)

    @property
    def id(self) -> str:
        """The technique's id."""
        return self.technique.id


@dataclass(frozen=True, slots=True)
class PowerEntry:
    """What is asked of a pack, with the places of its file."""

    power: Power
    located: Located = field(repr=False)


def drill_of(data: object, name: str = "stored edition") -> Entry:
    """Read a drill from the plain data of a stored edition."""
    located = Located(name, data, {(): (1, 1)})
    return Entry(read_model(Drill, located), edition_of(data), located)


def job_of(data: object, name: str = "stored edition") -> JobEntry:
    """Read a job from the plain data of a stored edition."""
    located = Located(name, data, {(): (1, 1)})
    return JobEntry(read_model(Job, located), edition_of(data), located)


def question_of(data: Any, name: str = "stored edition") -> QuestionEntry:
    """Read a question from the plain data of a stored edition."""
    located = Located(name, data, {(): (1, 1)})
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
            yield QuestionEntry(question, file.topic, edition_of(content), content, located, place)
