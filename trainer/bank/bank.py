"""The whole question bank of one folder (or of several, the employer's private one last)."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, TypeVar

from pydantic import BaseModel

from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.models import BankPage, Caution, Cautions, Glossary, Term
from trainer.bank.question import NumberQuestion, Question, QuestionFile
from trainer.bank.reader import edition_of, read_file, read_model
from trainer.bank.yamltext import Located, Place
from trainer.errors import Fault, FaultyFiles, NotFound

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


def load_bank(*folders: Path, private: Path | None = None) -> Bank:
    """Read the bank folders; FaultyFiles lists every fault of every file at once.

    The employer's ``private`` folder may be missing. What is faulty in it is left out and told in the bank's
    ``private_faults``, for a slip of a pen there must not close the school.
    """
    loader = _Loader()
    for folder in folders:
        loader.folder(folder)
    if loader.faults:
        raise FaultyFiles(tuple(loader.faults))
    shipped = frozenset({*loader.drills, *loader.jobs, *loader.questions})
    if private is not None and private.is_dir():
        loader.private = f"{private.name}/"
        loader.folder(private)
    return Bank(
        loader.page, loader.drills, loader.cautions, tuple(loader.terms), loader.jobs, loader.questions,
        frozenset({*loader.drills, *loader.jobs, *loader.questions}) - shipped, tuple(loader.faults),
    )  # fmt: skip


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
    return next(_entries(read_model(QuestionFile, located), located))


def _entries(file: QuestionFile, located: Located) -> Iterator[QuestionEntry]:
    """Take a topic's file apart; the content of each question is a file that holds it alone."""
    kinds: dict[str, Sequence[Question | NumberQuestion]] = {
        "questions": file.questions, "numbers": file.numbers
    }  # fmt: skip
    for kind, questions in kinds.items():
        for index, question in enumerate(questions):
            content = {"topic": file.topic, kind: [located.data[kind][index]]}
            place = (kind, index)
            yield QuestionEntry(question, file.topic, edition_of(content), content, located, place)


class _Loader:
    """Gather records and faults over all files of all folders. An item with a fault of its own is left out."""

    def __init__(self) -> None:
        self.page = BankPage(title="Question bank", edition="unnamed", languages=("en",), licence="unnamed")
        self.drills: dict[str, Entry] = {}
        self.jobs: dict[str, JobEntry] = {}
        self.questions: dict[str, QuestionEntry] = {}
        self.cautions: dict[str, Caution] = {}
        self.terms: list[Term] = []
        self.faults: list[Fault] = []
        self.private = ""

    def folder(self, folder: Path) -> None:
        if not folder.is_dir():
            raise FaultyFiles((Fault(str(folder), 1, 1, "there is no such folder; name the question bank"),))
        for path in _files(folder):
            self.file(folder, path)

    def file(self, folder: Path, path: Path) -> None:
        kind = path.relative_to(folder).parts[0]
        name = self.private + path.relative_to(folder).as_posix()
        try:
            if kind == "bank.yaml":
                page, _ = read_file(BankPage, path, name)
                self.page = self.page if self.private else page
            elif kind == "cautions.yaml":
                self.caution(path, name)
            elif kind == "glossary.yaml":
                self.terms.extend(read_file(Glossary, path, name)[0].terms)
            elif kind == "drills":
                self.drill(path, name)
            elif kind == "jobs":
                self.job(path, name)
            elif kind == "questions":
                self.topic(path, name)
        except FaultyFiles as faulty:
            self.faults.extend(faulty.faults)

    def caution(self, path: Path, name: str) -> None:
        cautions, located = read_file(Cautions, path, name)
        for caution_id, caution in cautions.cautions.items():
            if caution_id in self.cautions:
                place = ("cautions", caution_id)
                self.faults.append(located.fault(place, f"there is another caution '{caution_id}'"))
            else:
                self.cautions[caution_id] = caution

    def drill(self, path: Path, name: str) -> None:
        drill, located = read_file(Drill, path, name)
        faults = [*self.file_faults(located, drill.id, path)]
        if drill.topic != path.parent.name:
            faults.append(
                located.fault(("topic",), f"the topic must be the folder's name, '{path.parent.name}'")
            )
        if not faults:
            self.drills[drill.id] = Entry(drill, edition_of(located.data), located)
        self.faults.extend(faults)

    def job(self, path: Path, name: str) -> None:
        job, located = read_file(Job, path, name)
        faults = [*self.file_faults(located, job.id, path)]
        if not faults:
            self.jobs[job.id] = JobEntry(job, edition_of(located.data), located)
        self.faults.extend(faults)

    def topic(self, path: Path, name: str) -> None:
        file, located = read_file(QuestionFile, path, name)
        if file.topic != path.stem:
            self.faults.append(located.fault(("topic",), f"the topic must be the file's name, '{path.stem}'"))
        for entry in _entries(file, located):
            if self.known(entry.id):
                self.faults.append(entry.fault(f"there is another item with the id '{entry.id}'", "id"))
            else:
                self.questions[entry.id] = entry

    def file_faults(self, located: Located, item_id: str, path: Path) -> Iterator[Fault]:
        if item_id != path.stem:
            yield located.fault(("id",), f"the id must be the file's name, '{path.stem}'")
        if self.known(item_id):
            yield located.fault(("id",), f"there is another item with the id '{item_id}'")

    def known(self, item_id: str) -> bool:
        return item_id in self.drills or item_id in self.jobs or item_id in self.questions


def _files(folder: Path) -> Iterator[Path]:
    for pattern in ("*.yaml", "drills/*/*.yaml", "jobs/*.yaml", "questions/*.yaml"):
        yield from sorted(p for p in folder.glob(pattern) if p.is_file())
