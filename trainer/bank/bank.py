"""The whole question bank: everything that can be asked, by id, and what goes with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TypeVar

from trainer.bank.checklists import PracticalEntry
from trainer.bank.drill import Drill
from trainer.bank.entries import Entry, JobEntry, PaperEntry, PowerEntry, QuestionEntry, TechniqueEntry
from trainer.bank.models import BankPage, Caution, Term
from trainer.errors import Fault, NotFound
from trainer.languages import content

Named = TypeVar("Named")


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
    practicals: dict[str, PracticalEntry] = field(default_factory=dict)
    techniques: dict[str, TechniqueEntry] = field(default_factory=dict)
    power: PowerEntry | None = None
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

    def practical(self, practical_id: str) -> PracticalEntry:
        """Return the checklist of a practical; NotFound names the nearest ids."""
        return _named(self.practicals, practical_id, "practical")

    def technique(self, technique_id: str) -> TechniqueEntry:
        """Return a technique of real work; NotFound names the nearest ids."""
        return _named(self.techniques, technique_id, "technique")

    def topics(self, scored: bool = False) -> dict[str, list[Drill]]:
        """Return drills by topic folder, both sorted: those to practise, or those that may be ``scored``.

        What rests on memory is never scored; what is kept for examinations is never practised.
        """
        out: dict[str, list[Drill]] = {}
        for entry in self.drills.values():
            if not (entry.drill.unconfirmed if scored else entry.drill.examination_only):
                out.setdefault(entry.drill.topic, []).append(entry.drill)
        return dict(sorted(out.items()))


def topic_title(topic: str) -> str:
    """Write the name of a topic folder as a heading, in the reader's language."""
    return content(topic_words(topic))


def topic_words(topic: str) -> str:
    """Write the name of a topic folder as words, in English."""
    words = topic.replace("-", " ").replace(" uv", " UV")
    return words[:1].upper() + words[1:]


def _named(entries: Mapping[str, Named], wanted: str, kind: str) -> Named:
    entry = entries.get(wanted)
    if entry is None:
        from difflib import get_close_matches

        near = get_close_matches(wanted[:60], entries, 3, 0.5)
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        raise NotFound(f"there is no {kind} '{wanted[:60]}' in the bank{hint}")
    return entry
