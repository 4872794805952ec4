"""Read the files of the bank folders into one bank; every fault of every file comes back at once."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

from trainer.bank.bank import Bank, Entry, JobEntry, PaperEntry, QuestionEntry, entries_of
from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.models import BankPage, Caution, Cautions, Glossary, Term
from trainer.bank.paper import PaperPlan
from trainer.bank.question import QuestionFile
from trainer.bank.reader import edition_of, read_file
from trainer.bank.yamltext import Located
from trainer.errors import Fault, FaultyFiles


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
    shipped = loader.items()
    if private is not None and private.is_dir():
        loader.private = f"{private.name}/"
        loader.folder(private)
    return Bank(
        loader.page, loader.drills, loader.cautions, tuple(loader.terms), loader.jobs, loader.questions,
        loader.papers, loader.items() - shipped, tuple(loader.faults),
    )  # fmt: skip


class _Loader:
    """Gather records and faults over all files of all folders. An item with a fault of its own is left out."""

    def __init__(self) -> None:
        self.page = BankPage(title="Question bank", edition="unnamed", languages=("en",), licence="unnamed")
        self.drills: dict[str, Entry] = {}
        self.jobs: dict[str, JobEntry] = {}
        self.questions: dict[str, QuestionEntry] = {}
        self.papers: dict[str, PaperEntry] = {}
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
            elif kind == "papers":
                self.paper(path, name)
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
        for entry in entries_of(file, located):
            if self.known(entry.id):
                self.faults.append(entry.fault(f"there is another item with the id '{entry.id}'", "id"))
            else:
                self.questions[entry.id] = entry

    def paper(self, path: Path, name: str) -> None:
        plan, located = read_file(PaperPlan, path, name)
        faults = [*self.file_faults(located, plan.id, path)]
        if not faults:
            self.papers[plan.id] = PaperEntry(plan, located)
        self.faults.extend(faults)

    def file_faults(self, located: Located, item_id: str, path: Path) -> Iterator[Fault]:
        if item_id != path.stem:
            yield located.fault(("id",), f"the id must be the file's name, '{path.stem}'")
        if self.known(item_id):
            yield located.fault(("id",), f"there is another item with the id '{item_id}'")

    def known(self, item_id: str) -> bool:
        return item_id in self.items()

    def items(self) -> frozenset[str]:
        return frozenset({*self.drills, *self.jobs, *self.questions, *self.papers})


def _files(folder: Path) -> Iterator[Path]:
    for pattern in ("*.yaml", "drills/*/*.yaml", "jobs/*.yaml", "questions/*.yaml", "papers/*.yaml"):
        yield from sorted(p for p in folder.glob(pattern) if p.is_file())
