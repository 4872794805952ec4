"""Read a bank from its folders: every file of every kind, every fault at once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TypeVar

from trainer.bank.bank import Bank
from trainer.bank.checklists import Checklists
from trainer.bank.drill import Drill
from trainer.bank.entries import (
    Entry,
    JobEntry,
    PaperEntry,
    PowerEntry,
    QuestionEntry,
    TechniqueEntry,
    questions_in,
)
from trainer.bank.job import Job
from trainer.bank.models import BankPage, Caution, Cautions, Glossary, Term
from trainer.bank.paper import PaperPlan
from trainer.bank.power import Power
from trainer.bank.question import QuestionFile
from trainer.bank.reader import edition_of, read_file
from trainer.bank.technique import Technique
from trainer.bank.yamltext import Located
from trainer.errors import Fault, FaultyFiles

FILES = (
    "*.yaml", "drills/*/*.yaml", "jobs/*.yaml", "questions/*.yaml", "questions/*/*.yaml", "papers/*.yaml",
    "practicals/*.yaml", "techniques/*.yaml",
)  # fmt: skip

ELSEWHERE = frozenset({"schemes", "starts", "languages"})
"""Folders of a bank whose files others read."""

Item = TypeVar("Item", bound=Drill | Job | PaperPlan | Technique)


def load_bank(*folders: Path, private: Path | None = None) -> Bank:
    """Read the bank folders; FaultyFiles lists every fault of every file at once.

    The employer's ``private`` folder may be missing. What is faulty in it is left out and told in the bank's
    ``private_faults``, for a slip of a pen there must not close the school.
    """
    loader = _Loader()
    for folder in folders:
        loader.folder(folder)
    practicals, faults = loader.checklists.joined(loader.cautions)
    if loader.faults or faults:
        raise FaultyFiles((*loader.faults, *faults))
    shipped = frozenset({*loader.ids, *practicals})
    if private is not None and private.is_dir():
        loader.private = f"{private.name}/"
        loader.folder(private)
        practicals, faults = loader.checklists.joined(loader.cautions)
    return Bank(
        loader.page, loader.drills, loader.cautions, tuple(loader.terms), loader.jobs, loader.questions,
        loader.papers, practicals, loader.techniques, loader.power,
        frozenset({*loader.ids, *practicals}) - shipped, (*loader.faults, *faults),
    )  # fmt: skip


class _Loader:
    """Gather records and faults over all files of all folders. An item with a fault of its own is left out."""

    def __init__(self) -> None:
        self.page = BankPage(title="Question bank", edition="unnamed", languages=("en",), licence="unnamed")
        self.drills: dict[str, Entry] = {}
        self.jobs: dict[str, JobEntry] = {}
        self.questions: dict[str, QuestionEntry] = {}
        self.papers: dict[str, PaperEntry] = {}
        self.techniques: dict[str, TechniqueEntry] = {}
        self.checklists = Checklists()
        self.power: PowerEntry | None = None
        self.cautions: dict[str, Caution] = {}
        self.terms: list[Term] = []
        self.faults: list[Fault] = []
        self.private = ""
        self.ids: set[str] = set()  # drills, jobs, questions, plans and techniques share them
        self.kinds = {
            "bank.yaml": self.title,
            "cautions.yaml": self.caution,
            "glossary.yaml": self.glossary,
            "power.yaml": self.pack,
            "drills": self.drill,
            "jobs": self.job,
            "questions": self.topic,
            "papers": self.paper,
            "practicals": self.checklists.read,
            "techniques": self.technique,
        }

    def folder(self, folder: Path) -> None:
        if not folder.is_dir():
            raise FaultyFiles((Fault(str(folder), 1, 1, "there is no such folder; name the question bank"),))
        files = [path for path in _files(folder) if path.relative_to(folder).parts[0] in self.kinds]
        for path in files:
            place = path.relative_to(folder)
            try:
                self.kinds[place.parts[0]](path, self.private + place.as_posix())
            except FaultyFiles as faulty:
                self.faults.extend(faulty.faults)
        for path in _overlooked(folder, set(files)):
            name = self.private + path.relative_to(folder).as_posix()
            self.faults.append(
                Fault(name, 1, 1, f"nothing reads this file; keep it as one of {', '.join(FILES)}")
            )

    def title(self, path: Path, name: str) -> None:
        page, _ = read_file(BankPage, path, name)
        self.page = self.page if self.private else page

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

    def pack(self, path: Path, name: str) -> None:
        self.power = PowerEntry(*read_file(Power, path, name))

    def caution(self, path: Path, name: str) -> None:
        cautions, located = read_file(Cautions, path, name)
        for caution_id, caution in cautions.cautions.items():
            if caution_id in self.cautions:
                place = ("cautions", caution_id)
                self.faults.append(located.fault(place, f"there is another caution '{caution_id}'"))
            else:
                self.cautions[caution_id] = caution

    def drill(self, path: Path, name: str) -> None:
        drill, located = self.item(Drill, path, name)
        if drill is not None and drill.topic != path.parent.name:
            self.faults.append(
                located.fault(("topic",), f"the topic must be the folder's name, '{path.parent.name}'")
            )
        elif drill is not None:
            self.drills[drill.id] = Entry(drill, located, edition_of(located.data))

    def job(self, path: Path, name: str) -> None:
        job, located = self.item(Job, path, name)
        if job is not None:
            self.jobs[job.id] = JobEntry(job, located, edition_of(located.data))

    def paper(self, path: Path, name: str) -> None:
        plan, located = self.item(PaperPlan, path, name)
        if plan is not None:
            self.papers[plan.id] = PaperEntry(plan, located)

    def technique(self, path: Path, name: str) -> None:
        technique, located = self.item(Technique, path, name)
        if technique is not None:
            self.techniques[technique.id] = TechniqueEntry(technique, located, edition_of(located.data))

    def topic(self, path: Path, name: str) -> None:
        """Read a topic's file, or a file inside a topic's folder."""
        file, located = read_file(QuestionFile, path, name)
        whole = path.parent.name == "questions"
        wanted, of = (path.stem, "file") if whole else (path.parent.name, "folder")
        if file.topic != wanted:
            self.faults.append(located.fault(("topic",), f"the topic must be the {of}'s name, '{wanted}'"))
        for entry in questions_in(file, located):
            if entry.id in self.ids:
                self.faults.append(entry.fault(f"there is another item with the id '{entry.id}'", "id"))
            else:
                self.ids.add(entry.id)
                self.questions[entry.id] = entry

    def item(self, kind: type[Item], path: Path, name: str) -> tuple[Item | None, Located]:
        """Read a file that holds one item; None where its id is not the file's name or is in use."""
        item, located = read_file(kind, path, name)
        faults = []
        if item.id != path.stem:
            faults.append(located.fault(("id",), f"the id must be the file's name, '{path.stem}'"))
        if item.id in self.ids:
            faults.append(located.fault(("id",), f"there is another item with the id '{item.id}'"))
        self.ids.add(item.id)
        self.faults.extend(faults)
        return (None if faults else item), located


def _files(folder: Path) -> list[Path]:
    return [path for pattern in FILES for path in sorted(folder.glob(pattern)) if path.is_file()]


def _overlooked(folder: Path, read: set[Path]) -> Iterator[Path]:
    """Files that somebody wrote as content and that no pattern finds: another ending, another folder."""
    for path in sorted(p for depth in ("", "*/", "*/*/") for p in folder.glob(f"{depth}*.[yY]*")):
        ending, place = path.name.casefold(), path.relative_to(folder).parts[0]
        if ending.endswith((".yaml", ".yml", ".yaml.txt")) and place not in ELSEWHERE and path not in read:
            yield path
