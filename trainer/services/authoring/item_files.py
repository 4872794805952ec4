"""Items as files: a file taken apart into drafts, a topic of the bank written out."""

from __future__ import annotations

import io
import zipfile
from datetime import datetime

from sqlalchemy.orm import Session

from trainer.bank import Bank
from trainer.bank.drill import Drill
from trainer.bank.entries import questions_in
from trainer.bank.practical import Practical
from trainer.bank.question import QuestionFile
from trainer.bank.reader import read_model
from trainer.bank.writing import write_yaml
from trainer.bank.yamltext import Located, read_yaml
from trainer.errors import Fault, FaultyFiles, NotFound
from trainer.languages import _
from trainer.services.authoring import drafts
from trainer.services.keeping import audit

LARGEST = 500_000  # bytes; the longest topic of the shipped bank has about 60 000
MOST_ITEMS = 100
GIVEN = "topic given away"
_EPOCH = (1980, 1, 1, 0, 0, 0)  # the first day that a ZIP knows: the same content gives the same bytes


def take(session: Session, bank: Bank, by_id: int, data: bytes, name: str, now: datetime) -> list[int]:
    """Make a draft of every item of a YAML file and return their numbers.

    Raises FaultyFiles with every fault that keeps an item from being read, and Refused for size; then nothing
    is taken. What else is wrong with an item stands beside its draft.
    """
    items = _taken_apart(bank, read_yaml(data, name, LARGEST), data)
    return [drafts.write(session, by_id, kind, text, now).id for kind, text in items]


def _taken_apart(bank: Bank, located: Located, data: bytes) -> list[tuple[str, str]]:
    keys = located.data.keys() if isinstance(located.data, dict) else set()
    if "relations" in keys:
        _refuse_known(bank, [(located, ("id",), read_model(Drill, located).id)])
        return [("drill", data.decode("utf-8-sig"))]
    if "checkpoints" in keys:
        _refuse_known(bank, [(located, ("id",), read_model(Practical, located).id)])
        return [("practical", data.decode("utf-8-sig"))]
    if not {"questions", "numbers"} & keys:
        says = _(
            "this is no drill, no checklist and no file of questions; see question_bank/README.md for their keys"
        )
        raise FaultyFiles((located.fault((), says),))
    entries = list(questions_in(read_model(QuestionFile, located), located))
    if not 1 <= len(entries) <= MOST_ITEMS:
        says = _(
            "1 to %(most)s questions can be taken at once, and %(entries)s stand here; split the file",
            most=MOST_ITEMS,
            entries=len(entries),
        )
        raise FaultyFiles((located.fault((), says),))
    _refuse_known(bank, [(located, (*one.place, "id"), one.id) for one in entries])
    return [("question", write_yaml(one.content)) for one in entries]


def _refuse_known(bank: Bank, found: list[tuple[Located, tuple[str | int, ...], str]]) -> None:
    known = {*bank.drills, *bank.jobs, *bank.questions, *bank.papers, *bank.practicals, *bank.techniques}
    faults: list[Fault] = []
    for located, place, item in found:
        if item in known:
            faults.append(
                located.fault(
                    place, _("there is another item with the id '%(item)s'; give this one its own", item=item)
                )
            )
        known.add(item)
    if faults:
        raise FaultyFiles(tuple(faults))


def note_given(session: Session, by_id: int, wanted: str, form: str, now: datetime) -> None:
    """Leave a note that somebody took a topic with its keys."""
    audit.note(session, by_id, GIVEN, wanted, now, facts={"form": form})


def topic_file(bank: Bank, wanted: str) -> tuple[str, bytes]:
    """A topic of the bank, such as questions/coil or drills/coil, as a file name and its bytes.

    Questions are one YAML file, drills a ZIP of one file each. Raises NotFound for a topic there is none of.
    """
    room, _slash, topic = wanted.partition("/")
    if room == "questions":
        held = [entry.content for entry in bank.questions.values() if entry.topic == topic]
        lists = {
            kind: [one for file in held for one in file.get(kind, ())] for kind in ("questions", "numbers")
        }
        if held:
            content = {"topic": topic} | {kind: ones for kind, ones in lists.items() if ones}
            return f"{topic}.yaml", write_yaml(content).encode()
    files = [
        (f"{entry.id}.yaml", write_yaml(entry.content).encode())
        for entry in bank.drills.values()
        if room == "drills" and entry.drill.topic == topic
    ]
    if not files:
        raise NotFound(_("There is no such topic in the bank. Choose one offered."))
    return f"{topic}.zip", packed(files)


def packed(files: list[tuple[str, bytes]]) -> bytes:
    """A ZIP of files, the same bytes for the same files."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as pack:
        for name, data in sorted(files):
            pack.writestr(zipfile.ZipInfo(name, _EPOCH), data, zipfile.ZIP_DEFLATED)
    return out.getvalue()
