"""The whole question bank of one folder (or of several, the employer's private one last)."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import TypeVar

from pydantic import BaseModel

from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.models import BankPage, Caution, Cautions, Glossary, Term
from trainer.bank.reader import edition_of, read_file, read_model
from trainer.bank.yamltext import Located
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


@dataclass(frozen=True, slots=True)
class Bank:
    """Everything that can be asked, by id, and what goes with it."""

    page: BankPage
    drills: dict[str, Entry]
    cautions: dict[str, Caution]
    terms: tuple[Term, ...]
    jobs: dict[str, JobEntry] = field(default_factory=dict)

    def drill(self, drill_id: str) -> Entry:
        """Return a drill; NotFound names the nearest ids."""
        return _named(self.drills, drill_id, "drill")

    def job(self, job_id: str) -> JobEntry:
        """Return a job; NotFound names the nearest ids."""
        return _named(self.jobs, job_id, "job")

    def topics(self) -> dict[str, list[Drill]]:
        """Return drills by topic folder, both sorted."""
        out: dict[str, list[Drill]] = {}
        for entry in self.drills.values():
            out.setdefault(entry.drill.topic, []).append(entry.drill)
        return dict(sorted(out.items()))


def topic_title(topic: str) -> str:
    """Write the name of a topic folder as a heading."""
    return topic[:1].upper() + topic[1:].replace("-", " ")


def _named(entries: dict[str, Named], wanted: str, kind: str) -> Named:
    entry = entries.get(wanted)
    if entry is None:
        from difflib import get_close_matches

        near = get_close_matches(wanted[:60], entries, 3, 0.5)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise NotFound(f"there is no {kind} '{wanted[:60]}' in the bank{hint}")
    return entry


def load_bank(*folders: Path) -> Bank:
    """Read the bank folders; FaultyFiles lists every fault of every file at once."""
    loader = _Loader()
    for folder in folders:
        loader.folder(folder)
    if loader.faults:
        raise FaultyFiles(tuple(loader.faults))
    return Bank(loader.page, loader.drills, loader.cautions, tuple(loader.terms), loader.jobs)


def drill_of(data: object, name: str = "stored edition") -> Entry:
    """Read a drill from the plain data of a stored edition."""
    located = Located(name, data, {(): (1, 1)})
    return Entry(read_model(Drill, located), edition_of(data), located)


def job_of(data: object, name: str = "stored edition") -> JobEntry:
    """Read a job from the plain data of a stored edition."""
    located = Located(name, data, {(): (1, 1)})
    return JobEntry(read_model(Job, located), edition_of(data), located)


class _Loader:
    """Gather records and faults over all files of all folders."""

    def __init__(self) -> None:
        self.page = BankPage(title="Question bank", edition="unnamed", languages=("en",), licence="unnamed")
        self.drills: dict[str, Entry] = {}
        self.jobs: dict[str, JobEntry] = {}
        self.cautions: dict[str, Caution] = {}
        self.terms: list[Term] = []
        self.faults: list[Fault] = []

    def folder(self, folder: Path) -> None:
        if not folder.is_dir():
            raise FaultyFiles((Fault(str(folder), 1, 1, "there is no such folder; name the question bank"),))
        for path in _files(folder):
            self.file(folder, path)

    def file(self, folder: Path, path: Path) -> None:
        name = path.relative_to(folder).as_posix()
        try:
            if name == "bank.yaml":
                self.page, _ = read_file(BankPage, path, name)
            elif name == "cautions.yaml":
                self.cautions.update(read_file(Cautions, path, name)[0].cautions)
            elif name == "glossary.yaml":
                self.glossary(path, name)
            elif name.startswith("drills/"):
                self.drill(path, name)
            elif name.startswith("jobs/"):
                self.job(path, name)
        except FaultyFiles as faulty:
            self.faults.extend(faulty.faults)

    def glossary(self, path: Path, name: str) -> None:
        glossary, located = read_file(Glossary, path, name)
        self.terms.extend(glossary.terms)
        known = {term.term for term in self.terms}
        self.faults.extend(
            located.fault(("terms", i, "see", j), f"there is no term '{other}' in the glossary")
            for i, term in enumerate(glossary.terms)
            for j, other in enumerate(term.see)
            if other not in known
        )

    def drill(self, path: Path, name: str) -> None:
        drill, located = read_file(Drill, path, name)
        if drill.id != path.stem:
            self.faults.append(located.fault(("id",), f"the id must be the file's name, '{path.stem}'"))
        if drill.topic != path.parent.name:
            self.faults.append(
                located.fault(("topic",), f"the topic must be the folder's name, '{path.parent.name}'")
            )
        if drill.id in self.drills:
            self.faults.append(located.fault(("id",), f"there is another drill with the id '{drill.id}'"))
        self.drills[drill.id] = Entry(drill, edition_of(located.data), located)

    def job(self, path: Path, name: str) -> None:
        job, located = read_file(Job, path, name)
        if job.id != path.stem:
            self.faults.append(located.fault(("id",), f"the id must be the file's name, '{path.stem}'"))
        if job.id in self.jobs or job.id in self.drills:
            self.faults.append(located.fault(("id",), f"there is another item with the id '{job.id}'"))
        self.jobs[job.id] = JobEntry(job, edition_of(located.data), located)


def _files(folder: Path) -> Iterator[Path]:
    yield from sorted(p for p in folder.glob("*.yaml") if p.is_file())
    yield from sorted(p for p in folder.glob("drills/*/*.yaml") if p.is_file())
    yield from sorted(p for p in folder.glob("jobs/*.yaml") if p.is_file())
