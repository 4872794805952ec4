"""Practice pages: offer, answer once, verdict, and nobody else's."""

from __future__ import annotations

import re

from sqlalchemy import func, select, update

from tests.conftest import Browser
from tests.make import Clock, People
from trainer.drills.shelf import Shelf
from trainer.services.keeping import audit
from trainer.services.practising import skills
from trainer.store import Database
from trainer.store.models import Answer, Exercise, SkillState


def begin(browser: Browser, **form: str) -> int:
    """Ask for an exercise; return its id."""
    reply = browser.send("/trainee/practice", form)
    assert reply.status_code == 303, reply.get_data(as_text=True)[:500]
    return int(reply.location.rsplit("/", 1)[1])


def right_answer(store: Database, shelf: Shelf, exercise_id: int) -> str:
    """Work out what is right, as the trainee would."""
    with store.reading() as session:
        row = session.get(Exercise, exercise_id)
        assert row is not None
        drawn = shelf.draw(row.drill_id, row.seed, row.find)
        unit = shelf.mould(row.drill_id, row.find).read.drill.quantities[row.find].unit
    return f"{drawn.answer:.6g} {'' if unit == '1' else unit}"


def key_of(page: str) -> str:
    """The hidden key of the page's form."""
    found = re.search(r'name="key" value="([0-9a-f]+)"', page)
    assert found
    return found[1]


def test_the_way_of_one_answer(as_tess: Browser, store: Database, shelf: Shelf, people: People) -> None:
    """Home offers, the exercise asks, the answer is kept, the verdict says right, the skill has moved."""
    assert "because it is new to you" in as_tess.get("/trainee/").get_data(as_text=True)
    number = begin(as_tess)
    page = as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    assert "find it" in page
    assert "A worked one first" in page
    assert re.search(r"<input id=\"answer\" name=\"answer\"", page), "a browser sends it under this name"
    answer = right_answer(store, shelf, number)
    reply = as_tess.send(f"/trainee/practice/{number}", {"answer": answer, "key": key_of(page)})
    assert reply.status_code == 303
    verdict = as_tess.get(reply.location).get_data(as_text=True)
    assert "<h1>Right" in verdict
    with store.reading() as session:
        assert session.scalars(select(SkillState.answers)).all() == [1]
        assert skills.disagreements(session) == []
        assert audit.recent(session)[0].event["what"] == "practice answered"


def test_a_slip_is_named_and_shown_where_it_enters(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """The verdict names the slip and the working has both sides."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    with store.reading() as session:
        row = session.get(Exercise, number)
        assert row is not None
        drawn = shelf.draw(row.drill_id, row.seed, row.find)
    slips = shelf.mould("coil-low-fill-wall", "I").read.drill.slips
    wrong = next(s for s in drawn.slips if slips[s.place].id == "turns-forgotten")
    reply = as_tess.send(f"/trainee/practice/{number}", {"answer": f"{wrong.value:.6g} A"})
    page = as_tess.get(reply.location).get_data(as_text=True)
    assert "the turns were left out" in page
    assert "Here the slip enters" in page
    assert "As it should be" in page


def test_unreadable_comes_back_with_a_sentence_and_stays_typed(as_tess: Browser, store: Database) -> None:
    """Nothing is kept, what was typed stands in the field."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    for text, says in [
        ("lots", "must begin with a number"),
        ("lots & lots", "cannot hold &amp;"),
        ("10 kg", "wrong kind"),
        ("", "no answer yet"),
        ("9" * 5000, "longer than"),
    ]:
        reply = as_tess.send(f"/trainee/practice/{number}", {"answer": text})
        page = reply.get_data(as_text=True)
        assert reply.status_code == 422
        assert says in page
    assert "lots &amp; lots" in as_tess.send(
        f"/trainee/practice/{number}", {"answer": "lots & lots"}
    ).get_data(as_text=True)
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(Answer)) == 0


def test_sent_twice_kept_once(as_tess: Browser, store: Database) -> None:
    """The same key gets the same reply; another key after it is refused with a sentence."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    form = {"answer": "1 A", "key": "a" * 32}
    first, again = (as_tess.send(f"/trainee/practice/{number}", form) for _ in range(2))
    assert (first.status_code, again.status_code, first.location) == (303, 303, again.location)
    other = as_tess.send(f"/trainee/practice/{number}", {"answer": "2 A", "key": "b" * 32})
    assert other.status_code == 409
    assert "answered already" in other.get_data(as_text=True)
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(Answer)) == 1


def test_working_shown_first_does_not_count(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """An aided answer moves no skill."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    as_tess.send(f"/trainee/practice/{number}/working")
    page = as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    assert "This one does not count" in page
    as_tess.send(f"/trainee/practice/{number}", {"answer": right_answer(store, shelf, number)})
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(SkillState)) == 0


def test_hints_climb_and_no_reload_takes_them_back(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """Formula, then the first step; both stand after a reload, and the right answer moves no skill."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    path = f"/trainee/practice/{number}"
    assert "this one then does not count" in as_tess.get(path).get_data(as_text=True)
    as_tess.send(f"{path}/formula")
    page = as_tess.get(path).get_data(as_text=True)
    assert "<h2>The formula</h2>" in page
    assert "This one does not count" in page
    as_tess.send(f"{path}/first-step")
    as_tess.send(f"{path}/formula")
    page = as_tess.get(path).get_data(as_text=True)
    assert "The first step</h2>" in page
    assert "<h2>The formula</h2>" in page
    as_tess.send(path, {"answer": right_answer(store, shelf, number)})
    with store.reading() as session:
        assert session.get_one(Exercise, number).hints == 2
        assert session.scalar(select(func.count()).select_from(SkillState)) == 0
        assert skills.disagreements(session) == []
    assert as_tess.send(f"{path}/elevator").status_code == 404


def test_a_hint_after_the_answer_changes_nothing(as_tess: Browser, store: Database) -> None:
    """What has counted goes on counting."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    as_tess.send(f"/trainee/practice/{number}", {"answer": "1 A"})
    as_tess.send(f"/trainee/practice/{number}/formula")
    with store.reading() as session:
        assert session.get_one(Exercise, number).aided is False
        assert skills.disagreements(session) == []


def test_a_first_answer_that_is_noted_wrongly_is_named(as_tess: Browser, store: Database) -> None:
    """Statistics count what a skill says of its first answer, so the audit holds it against the answers."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    as_tess.send(f"/trainee/practice/{number}", {"answer": "1 A"})
    with store.writing() as session:
        assert skills.disagreements(session) == []
        session.execute(update(SkillState).values(first_right=True))
        (fault,) = skills.disagreements(session)
    assert "stored state differs" in fault


def test_the_second_meeting_has_its_last_steps_written_out(as_tess: Browser) -> None:
    """The first steps are asked of the trainee by name; the third meeting is plain."""
    pages = []
    for _ in range(3):
        number = begin(as_tess, drill="coil-low-fill-wall", find="I")
        pages.append(as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True))
        as_tess.send(f"/trainee/practice/{number}", {"answer": "1 A"})
    assert "A worked one first" in pages[0]
    assert "Yours: length over diameter, then ampere-turns. Then:" in pages[1]
    assert "Yours:" not in pages[2]
    assert "A worked one first" not in pages[2]


def test_an_open_exercise_is_offered_again(as_tess: Browser) -> None:
    """Asking twice gives the same numbers, so that nobody picks easy ones."""
    assert begin(as_tess, drill="prod-current-asme") == begin(as_tess, drill="prod-current-asme")


def test_an_edited_bank_changes_no_kept_exercise(
    as_tess: Browser, store: Database, shelf: Shelf, people: People
) -> None:
    """The exercise is made again from its own edition."""
    from trainer.bank.bank import Bank
    from trainer.services.practising import practice

    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    with store.reading() as session:
        before = practice.shown(session, shelf, people.tess, number).drawn
        empty = Shelf(Bank(shelf.bank.page, {}, {}, ()))
        after = practice.shown(session, empty, people.tess, number).drawn
    assert (before.given, before.answer, before.accepted) == (after.given, after.answer, after.accepted)


def test_no_key_in_the_page_before_the_answer(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """The exercise page holds neither the answer nor a limit of what is accepted."""
    from trainer.formulas.writing import number as written

    as_tess.send(
        f"/trainee/practice/{begin(as_tess, drill='coil-low-fill-wall', find='I')}", {"answer": "1 A"}
    )
    number = begin(as_tess, drill="coil-low-fill-wall", find="NI")
    page = as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    with store.reading() as session:
        row = session.get(Exercise, number)
        assert row is not None
        drawn = shelf.draw(row.drill_id, row.seed, row.find)
    for value in (drawn.answer, drawn.accepted.low, drawn.accepted.high):
        for text in (written(value, 4), f"{value:.6g}"):
            # as a number of its own: 4500 also stands in the 45000 of the example of a sum, and in a token
            assert not re.search(rf"(?<![\w.]){re.escape(text)}(?![\w.])", page)


def test_not_yours(as_tess: Browser, as_omar: Browser, as_ian: Browser) -> None:
    """Another's exercise is not found; an instructor is refused; wrong methods and ids are told."""
    number = begin(as_tess)
    for path in (f"/trainee/practice/{number}", f"/trainee/practice/{number}/verdict"):
        assert as_omar.get(path).status_code == 404
        assert as_ian.get(path).status_code == 403
    assert as_omar.send(f"/trainee/practice/{number}", {"answer": "1 A"}).status_code == 404
    assert as_omar.send(f"/trainee/practice/{number}/working").status_code == 404
    assert as_tess.get("/trainee/practice/999999").status_code == 404
    assert as_tess.get(f"/trainee/practice/{number}/working").status_code == 405
    assert as_tess.send("/trainee/practice", {"drill": "no-such-drill"}).status_code == 404
    assert as_tess.send("/trainee/practice", {"set": "77"}).status_code == 404


def test_all_waiting_is_said(as_tess: Browser, store: Database, people: People, clock: Clock) -> None:
    """When every skill waits for another day the page says so, and asking is answered with a sentence."""
    with store.writing() as session:
        for family in ("coil-low-fill-wall", "prod-current-asme"):
            for _ in range(8):
                skills.move(session, people.tess, family, True, clock())
    assert "Nothing is due today" in as_tess.get("/trainee/").get_data(as_text=True)
    reply = as_tess.send("/trainee/practice")
    assert reply.status_code == 409
    assert "waits for a later day" in reply.get_data(as_text=True)


def test_all_drills_can_be_chosen(as_tess: Browser) -> None:
    """The list names every drill of the bank."""
    page = as_tess.get("/trainee/drills").get_data(as_text=True)
    assert "Coil, low fill, part at the wall" in page
    assert "Prod current by spacing" in page


def test_drills_are_found_by_words(as_tess: Browser) -> None:
    """A search leaves the drills that have all the words, with their topics open; none is told as none."""
    page = as_tess.get("/trainee/drills?q=Low+WALL").get_data(as_text=True)
    assert ("Coil, low fill, part at the wall" in page, "Prod current by spacing" in page) == (True, False)
    assert "<details open>" in page
    nothing = as_tess.get("/trainee/drills?q=%3Cb%3E+submarine").get_data(as_text=True)
    assert ("Practise" in nothing, 'value="&lt;b&gt; submarine"' in nothing) == (False, True)


def test_the_words_of_the_trade(as_tess: Browser) -> None:
    """The glossary page opens."""
    assert "What does this word mean?" in as_tess.get("/reference/words").get_data(as_text=True)
