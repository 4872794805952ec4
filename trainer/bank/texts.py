"""Every text of a bank that may be said in another language, with the catalogue it belongs to and its file."""

from __future__ import annotations

from collections.abc import Iterator

from trainer.bank.bank import Bank, topic_words
from trainer.bank.citing import own_words
from trainer.bank.spoken import texts_of


def texts(bank: Bank) -> Iterator[tuple[str, str, str]]:
    """Yield (catalogue, text, file): drills and questions by their topics, the rest by its kind."""
    for drill in bank.drills.values():
        name = f"drills-{drill.drill.topic}"
        yield "topics", topic_words(drill.drill.topic), f"drills/{drill.drill.topic}"
        yield from ((name, text, drill.located.name) for text in texts_of(drill.drill))
    for question in bank.questions.values():
        name = f"questions-{question.topic}"
        yield "topics", topic_words(question.topic), f"questions/{question.topic}"
        yield from ((name, text, question.located.name) for text in texts_of(question.question))
    for job in bank.jobs.values():
        yield from (("jobs", text, job.located.name) for text in texts_of(job.job))
    for plan in bank.papers.values():
        yield from (("papers", text, plan.located.name) for text in texts_of(plan.plan))
    for practical in bank.practicals.values():
        yield from (("practicals", text, practical.located.name) for text in texts_of(practical.practical))
    for technique in bank.techniques.values():
        yield from (("techniques", text, technique.located.name) for text in texts_of(technique.technique))
    if bank.power is not None:
        yield from (("techniques", text, bank.power.located.name) for text in texts_of(bank.power.power))
    for read in (bank.drills, bank.questions, bank.practicals, bank.techniques):
        for entry in read.values():
            yield from (("sources", text, entry.located.name) for text in own_words(entry.record))
    for caution in bank.cautions.values():
        yield from (("cautions", text, "cautions.yaml") for text in texts_of(caution))
    for term in bank.terms:
        yield from (("glossary", text, "glossary.yaml") for text in texts_of(term))
