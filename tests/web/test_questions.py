"""Knowledge questions on the page: asked by topic, answered once, every option explained, nobody else's."""

from __future__ import annotations

import re

import pytest
from sqlalchemy import func, select

from tests.banks import shipped_shelf
from tests.conftest import Browser
from tests.make import NOW, Clock, People, make_class, make_token
from trainer.app import create_app
from trainer.bank.question import Question
from trainer.drills.shelf import Shelf
from trainer.languages.catalogue import content_catalogue
from trainer.questions.ask import Asked, ask
from trainer.services.keeping import audit
from trainer.services.practising import questions
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.models import Paper, PaperAnswer, QuestionAnswer, QuestionSheet, Sitting
from trainer.web.access import COOKIE, Parts
from trainer.web.sheets import question_sheet

LIFT = "lift-the-prods"


def begin(browser: Browser, topic: str = "prods") -> int:
    """Have the next question of a topic asked; return the number of its sheet."""
    reply = browser.send("/trainee/questions", {"topic": topic})
    assert reply.status_code == 303, reply.get_data(as_text=True)[:500]
    return int(reply.location.rsplit("/", 1)[1])


def asked_of(store: Database, shelf: Shelf, sheet: int) -> Asked:
    """The question as it was asked."""
    with store.reading() as session:
        row = session.get_one(QuestionSheet, sheet)
        return ask(shelf, shelf.bank.question(row.question_id), row.seed)


def text(browser: Browser, path: str) -> str:
    """A page as text."""
    return browser.get(path).get_data(as_text=True)


def test_asked_answered_explained(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """Listed by topic, asked without a key, marked with the reason of every option and the source."""
    assert "Prods" in text(as_tess, "/trainee/questions")
    sheet = begin(as_tess)
    asked = asked_of(store, shelf, sheet)
    page = text(as_tess, f"/trainee/questions/{sheet}")
    assert "When are the prods lifted off the plate?" in page
    assert page.count('type="radio"') == 4
    assert not any(choice.because in page for choice in asked.choices)
    wrong = next(choice for choice in asked.choices if not choice.right)
    assert as_tess.send(f"/trainee/questions/{sheet}", {"answer": wrong.letter}).status_code == 303
    verdict = text(as_tess, f"/trainee/questions/{sheet}/verdict")
    assert f"Not right: {asked.key} is, not {wrong.letter}" in verdict
    assert all(choice.because in verdict for choice in asked.choices)
    assert "Physics, arcs" in verdict
    with store.reading() as session:
        kept = session.scalars(select(QuestionAnswer)).one()
        assert (kept.letter, kept.verdict) == (wrong.letter, "wrong")
        assert audit.recent(session)[0].event["what"] == "question answered"
    assert re.search(r'data-label="Asked">1<', text(as_tess, "/trainee/questions"))


def test_answered_once(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """The same key sent twice is kept once, another answer is refused, and no choice is asked for."""
    sheet = begin(as_tess)
    key = asked_of(store, shelf, sheet).key
    path = f"/trainee/questions/{sheet}"
    empty = as_tess.send(path, {"answer": ""})
    assert empty.status_code == 422
    assert "Choose one of the four" in empty.get_data(as_text=True)
    assert as_tess.send(path, {"answer": "E"}).status_code == 422
    for _ in range(2):
        assert as_tess.send(path, {"answer": key, "key": "k1"}).status_code == 303
    assert as_tess.send(path, {"answer": "A", "key": "k2"}).status_code == 409
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(QuestionAnswer)) == 1
    assert as_tess.get(path).location.endswith(f"{path}/verdict")
    assert begin(as_tess) != sheet


def test_a_waiting_question_waits(as_tess: Browser) -> None:
    """Asking again without an answer leads back to the same sheet, with the same order of options."""
    assert begin(as_tess) == begin(as_tess)


def test_only_practice_is_asked(as_tess: Browser) -> None:
    """A topic that has questions for examinations only is not offered."""
    assert "Coil" not in text(as_tess, "/trainee/questions")
    assert as_tess.send("/trainee/questions", {"topic": "coil"}).status_code == 404
    assert as_tess.send("/trainee/questions", {"topic": "<script>"}).status_code == 404


def test_not_yours(as_tess: Browser, as_omar: Browser, as_ian: Browser) -> None:
    """Another's sheet is not found; the unanswered verdict leads back to the question."""
    sheet = begin(as_tess)
    for path in (f"/trainee/questions/{sheet}", f"/trainee/questions/{sheet}/verdict"):
        assert as_omar.get(path).status_code == 404
        assert as_ian.get(path).status_code == 403
    assert as_omar.send(f"/trainee/questions/{sheet}", {"answer": "A"}).status_code == 404
    assert as_tess.get(f"/trainee/questions/{sheet}/verdict").location.endswith(f"/questions/{sheet}")


def test_what_stood_on_a_paper_is_hidden(
    as_tess: Browser, people: People, store: Database, shelf: Shelf
) -> None:
    """A question used in an examination is out of practice for its candidates until its items are shown."""
    sheet = begin(as_tess)
    with store.writing() as session:
        own = make_class(session, people.ian, people.tess)
        sitting = Sitting(
            organisation_id=own.organisation_id, class_id=own.id, kind="general", level="I", title="General",
            minutes=30, opened_by_id=people.ian, code="ABC", plan={"shown": False}, state="closed", made_at=NOW,
        )  # fmt: skip
        session.add(sitting)
        session.flush()
        paper = Paper(sitting_id=sitting.id, person_id=people.tess, started_at=NOW, deadline=NOW)
        session.add(paper)
        session.flush()
        kept = ask(shelf, shelf.bank.question(LIFT), 5).snapshot()
        session.add(PaperAnswer(paper_id=paper.id, position=1, exercise=kept, text="A"))
        number = sitting.id
    assert as_tess.send("/trainee/questions", {"topic": "prods"}).status_code == 404
    assert as_tess.get(f"/trainee/questions/{sheet}").status_code == 404
    with store.writing() as session:
        assert questions.hidden(session, people.omar) == frozenset()
        session.get_one(Sitting, number).plan = {"shown": True}
    assert as_tess.get(f"/trainee/questions/{sheet}").status_code == 200


def test_words_of_the_bank_are_plain_text() -> None:
    """What stands between asterisks is stressed; markup in a question is shown, never obeyed."""
    from trainer.web.sheets.question_sheet import stressed

    assert stressed("*not* <b>so</b> & 2 * 3") == "<em>not</em> &lt;b&gt;so&lt;/b&gt; &amp; 2 * 3"


def test_instructors_see_the_bank(as_ian: Browser, as_tess: Browser) -> None:
    """Counts by topic for instructors; trainees have no such page."""
    page = text(as_ian, "/instructor/bank")
    assert "2 drills and 8 questions" in page
    assert as_tess.get("/instructor/bank").status_code == 403


def test_faults_of_own_items_are_told(settings: Settings, people: People, clock: Clock) -> None:
    """A broken own file does not stop the start: its instructor's page names file, line and remedy."""
    folder = settings.private_bank / "questions"
    folder.mkdir(parents=True)
    (folder / "own.yaml").write_text("topic: own\nquestions: [{id: x}]\n", encoding="utf-8")
    app = create_app(settings, clock=clock)
    app.test_client_class = Browser
    held: Parts = app.extensions["trainer"]
    browser = app.test_client()
    with held.database.writing() as session:
        browser.set_cookie(COOKIE, make_token(session, people.ian))
    page = browser.get("/instructor/bank").get_data(as_text=True)
    held.database.close()
    assert "in your own items to put right" in page
    assert "question_bank/questions/own.yaml, line 2" in page


@pytest.mark.parametrize("tag", ["en", "es"])
def test_the_question_is_parted_from_its_situation(tag: str) -> None:
    """The heading is the last sentence, whole: T.O. ends none, and in Spanish a question begins with its own mark."""
    words = content_catalogue(tag).gettext if tag != "en" else str
    held = [one.question for one in shipped_shelf().bank.questions.values()]
    written = [one for one in held if isinstance(one, Question)]
    assert len(written) > 400
    for one in written:
        stem = words(one.stem)
        situation, asked = question_sheet.wording(one.model_copy(update={"stem": stem}))
        assert not situation.endswith("T.O."), stem
        assert not re.search(r"[.?!][”»]? (?:[A-ZÁÉÍÓÚ]|<em>)", asked.replace("T.O. ", "")), stem
