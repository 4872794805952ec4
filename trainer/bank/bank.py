"""The whole question bank of one folder (or of several, the employer's private one last)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any, TypeVar

from pydantic import BaseModel

from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.models import BankPage, Caution, Term
from trainer.bank.paper import PaperPlan
from trainer.bank.question import NumberQuestion, Question, QuestionFile
from trainer.bank.reader import edition_of, read_model
from trainer.bank.yamltext import Located, Place
from trainer.errors import Fault, NotFound

Model = TypeVar("Model", bound=BaseModel)
Named = TypeVar("Named")


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
class Bank:
    """Everything that can be asked, by id, and what goes with it.

    ``private`` names the items that are the employer's own; ``private_faults`` what was left out of them.
    """

    page: BankPage
    drills: dict[str, Entry]
    cautions: dict[str, Caution]
    terms: tuple[Term, ...]
    jobs: dict[str, JobEntry] = field(default_factory=dict)
    questions: dict[str, QuestionEntry] = field(default_factory=dict)
    papers: dict[str, PaperEntry] = field(default_factory=dict)
    private: frozenset[str] = frozenset()
    private_faults: tuple[Fault, ...] = ()

    def drill(self, drill_id: str) -> Entry:
        """Return a drill; NotFound names the nearest ids."""
        return _named(self.drills, drill_id, "drill")

    def job(self, job_id: str) -> JobEntry:
        """Return a job; NotFound names the nearest ids."""
        return _named(self.jobs, job_id, "job")

    def question(self, question_id: str) -> QuestionEntry:
        """Return a question; NotFound names the nearest ids."""
        return _named(self.questions, question_id, "question")

    def paper(self, plan_id: str) -> PaperEntry:
        """Return a paper plan; NotFound names the nearest ids."""
        return _named(self.papers, plan_id, "paper plan")

    def topics(self, scored: bool = False) -> dict[str, list[Drill]]:
        """Return drills by topic folder, both sorted: those to practise, or those that may be ``scored``.

        What rests on memory is never scored; what is kept for examinations is never practised.
        """
        out: dict[str, list[Drill]] = {}
        for entry in self.drills.values():
            if not (entry.drill.unconfirmed if scored else entry.drill.examination_only):
                out.setdefault(entry.drill.topic, []).append(entry.drill)
        return dict(sorted(out.items()))


def _named(entries: dict[str, Named], wanted: str, kind: str) -> Named:
    entry = entries.get(wanted)
    if entry is None:
        from difflib import get_close_matches

        near = get_close_matches(wanted[:60], entries, 3, 0.5)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise NotFound(f"there is no {kind} '{wanted[:60]}' in the bank{hint}")
    return entry


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
    return next(entries_of(read_model(QuestionFile, located), located))


def entries_of(file: QuestionFile, located: Located) -> Iterator[QuestionEntry]:
    """Take a topic's file apart; the content of each question is a file that holds it alone."""
    kinds: dict[str, Sequence[Question | NumberQuestion]] = {
        "questions": file.questions, "numbers": file.numbers
    }  # fmt: skip
    for kind, questions in kinds.items():
        for index, question in enumerate(questions):
            content = {"topic": file.topic, kind: [located.data[kind][index]]}
            place = (kind, index)
            yield QuestionEntry(question, file.topic, edition_of(content), content, located, place)
