"""Files of items: taken as drafts whole or not at all, a topic given away that can be taken in again."""

from __future__ import annotations

import io
import zipfile

import pytest
from sqlalchemy import select
from sqlalchemy.orm import Session

from tests.make import NOW, make_people
from tests.questions.writing import SOUND
from trainer.bank.yamltext import read_yaml
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles, NotFound
from trainer.services.authoring import drafts, item_files
from trainer.services.authoring.draft_text import check, start
from trainer.store.models import Draft

OWN = SOUND.replace("id: lift-the-prods", "id: own-lift").replace("id: pick-amperes", "id: own-amperes")


@pytest.fixture
def ian(session: Session) -> int:
    """The instructor who takes the files."""
    return make_people(session).ian


def taken(session: Session, shelf: Shelf, ian: int, text: str | bytes) -> list[Draft]:
    """The drafts that a file became."""
    data = text if isinstance(text, bytes) else text.encode()
    made = item_files.take(session, shelf.bank, ian, data, "own.yaml", NOW)
    return [drafts.one(session, ian, one) for one in made]


def test_a_topic_becomes_a_draft_of_each_question(session: Session, shelf: Shelf, ian: int) -> None:
    """Each stands alone with its topic, its content is what the file said, and its checks have no fault."""
    made = taken(session, shelf, ian, OWN)
    places = [drafts.newest(one).place for one in made]
    assert places == ["questions/prods/own-lift.yaml", "questions/prods/own-amperes.yaml"]
    content = read_yaml(OWN, "own").data
    alone = read_yaml(drafts.newest(made[0]).text, "draft").data
    assert alone == {"topic": "prods", "questions": content["questions"]}
    assert all(check(shelf, "question", drafts.newest(one).text).sound for one in made)


@pytest.mark.parametrize("kind", ["drill", "practical"])
def test_a_file_of_one_item_is_kept_word_for_word(
    session: Session, shelf: Shelf, ian: int, kind: str
) -> None:
    """Comments too."""
    (made,) = taken(session, shelf, ian, "\ufeff" + start(kind))
    assert (made.kind, drafts.newest(made).text) == (kind, start(kind))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        (SOUND, "another item with the id 'lift-the-prods'"),
        (OWN.replace("id: own-amperes", "id: own-lift"), "another item with the id 'own-lift'"),
        (OWN.replace("right: true, ", ""), "one option must be right"),
        (OWN.replace("level: I", "level: IX"), "write one of"),
        ("topic: prods\nquestions: []\n", "and 0 stand here"),
        ("a: 1\n", "no drill, no checklist"),
        ("- a\n", "no drill, no checklist"),
        ("", "no drill, no checklist"),
        ("a: &a [x]\nb: *a\n", "anchors"),
        ("[" * 1000, "deeper"),
        (b"\xff\xfe", "UTF-8"),
        ("x" * (item_files.LARGEST + 1), "larger than"),
    ],
)
def test_one_fault_and_nothing_is_taken(
    session: Session, shelf: Shelf, ian: int, text: str | bytes, says: str
) -> None:
    """The fault names the file and its line; no draft of the sound ones is left behind."""
    with pytest.raises(FaultyFiles, match=says) as raised:
        taken(session, shelf, ian, text)
    assert all(fault.file == "own.yaml" and fault.line >= 1 for fault in raised.value.faults)
    assert session.scalars(select(Draft)).all() == []


def test_every_fault_is_named_at_once(session: Session, shelf: Shelf, ian: int) -> None:
    """Two known ids are two lines to mend, not two tries."""
    with pytest.raises(FaultyFiles) as raised:
        taken(session, shelf, ian, SOUND)
    assert len(raised.value.faults) == 2


def test_a_topic_given_away_can_be_read_again(shelf: Shelf) -> None:
    """Questions as one file; drills as a ZIP of files; the same bytes each time."""
    name, data = item_files.topic_file(shelf.bank, "questions/prods")
    assert (name, read_yaml(data, name).data) == ("prods.yaml", read_yaml(SOUND, "prods").data)
    name, data = item_files.topic_file(shelf.bank, "drills/coil")
    with zipfile.ZipFile(io.BytesIO(data)) as pack:
        held = {one: read_yaml(pack.read(one), one).data for one in pack.namelist()}
    assert (name, list(held)) == ("coil.zip", ["coil-low-fill-wall.yaml"])
    assert held["coil-low-fill-wall.yaml"] == shelf.bank.drill("coil-low-fill-wall").content
    assert item_files.topic_file(shelf.bank, "drills/coil")[1] == data


@pytest.mark.parametrize("wanted", ["", "questions/none", "drills/", "schemes/x", "../questions/prods"])
def test_a_topic_that_is_none(shelf: Shelf, wanted: str) -> None:
    """Nothing is found, nothing is made."""
    with pytest.raises(NotFound):
        item_files.topic_file(shelf.bank, wanted)
