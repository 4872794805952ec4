"""Several-part jobs on the page: begun, answered step by step, kept once, and nobody else's."""

from __future__ import annotations

import re

import pytest
from sqlalchemy import func, select

from tests.conftest import Browser
from tests.make import People
from trainer.drills.shelf import Shelf
from trainer.jobs.casting import JobShelf
from trainer.jobs.draw import DrawnJob, remade
from trainer.services.keeping import audit
from trainer.store import Database
from trainer.store.models import JobAnswer, JobSheet

JOB = "job-small-coil"


def begin(browser: Browser, verdict: str = "each") -> int:
    """Begin the job; return the number of its sheet."""
    reply = browser.send("/trainee/jobs", {"job": JOB, "verdict": verdict})
    assert reply.status_code == 303, reply.get_data(as_text=True)[:500]
    return int(reply.location.rsplit("/", 1)[1])


def drawn_of(store: Database, shelf: Shelf, sheet: int) -> DrawnJob:
    """The numbers of a stored job."""
    with store.reading() as session:
        return remade(JobShelf(shelf).job(JOB), session.get_one(JobSheet, sheet).snapshot)


def page(browser: Browser, sheet: int) -> str:
    """The sheet as it stands."""
    return browser.get(f"/trainee/jobs/{sheet}").get_data(as_text=True)


def answer(browser: Browser, sheet: int, position: int, text: str, **more: str) -> int:
    """Answer a step; return the status."""
    return browser.send(f"/trainee/jobs/{sheet}/{position}", {"answer": text, **more}).status_code


def test_the_way_of_a_job(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """Listed, begun, one slip in the first step, followed rightly: the marks of one step are lost."""
    assert "One pin, two packs" in as_tess.get("/trainee/drills").get_data(as_text=True)
    sheet = begin(as_tess)
    drawn = drawn_of(store, shelf, sheet)
    first = page(as_tess, sheet)
    assert "step 1 of 3, 1 mark" in first
    assert "find it" in first
    slipped = drawn.exercises[0].answer * 2  # no listed slip
    assert answer(as_tess, sheet, 1, f"{slipped:.1f} A-turn") == 303
    second = page(as_tess, sheet)
    assert "Step 1, 0 of 1 mark: Not right" in second
    assert "your answer to step 1" in second
    turns = drawn.given["N"]
    assert answer(as_tess, sheet, 2, f"{slipped / turns:.1f} A") == 303
    third = page(as_tess, sheet)
    assert "Step 2, 2 of 2 marks: Right" in third
    assert "Judged with your own answer to step 1" in third
    assert "With the right value of step 1 it would be" in third
    assert "The working, with your answer to step 1" in third
    assert answer(as_tess, sheet, 3, str(-(-slipped // drawn.given["I2"]))) == 303
    done = page(as_tess, sheet)
    assert "<h1>3 of 4 marks</h1>" in done
    assert "Right, for your own earlier answer" in done
    with store.reading() as session:
        kept = session.scalars(select(JobAnswer).order_by(JobAnswer.position)).all()
        assert [(one.verdict, one.followed, one.marks) for one in kept] == [
            ("wrong", False, 0), ("right", True, 2), ("right", True, 1)
        ]  # fmt: skip
        assert session.get_one(JobSheet, sheet).done_at is not None
        assert [link.event["what"] for link in audit.recent(session)][:3] == ["job step answered"] * 3
        assert audit.recent(session)[0].event["about"] == f"{sheet}/3"
    assert "3 of 4 marks" in as_tess.get("/trainee/drills").get_data(as_text=True)


def test_verdicts_at_the_end(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """Chosen so, nothing is said of a step before the last one is answered."""
    sheet = begin(as_tess, "end")
    drawn = drawn_of(store, shelf, sheet)
    answer(as_tess, sheet, 1, f"{drawn.exercises[0].answer:.5g} A-turn")
    shown = page(as_tess, sheet)
    assert "Right" not in re.sub(r"<svg.*?</svg>", "", shown, flags=re.S)
    assert "Keep this step" in shown
    answer(as_tess, sheet, 2, f"{drawn.exercises[1].answer:.5g} A")
    answer(as_tess, sheet, 3, f"{drawn.exercises[2].answer:.0f}")
    assert "<h1>4 of 4 marks</h1>" in page(as_tess, sheet)


def test_unreadable_is_not_kept_and_stays_typed(as_tess: Browser, store: Database) -> None:
    """A sentence, the text in the field, no answer kept."""
    sheet = begin(as_tess)
    for text, says in [("lots & lots", "cannot hold"), ("10 kg", "wrong kind"), ("", "no answer yet")]:
        reply = as_tess.send(f"/trainee/jobs/{sheet}/1", {"answer": text})
        assert reply.status_code == 422
        assert says in reply.get_data(as_text=True)
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(JobAnswer)) == 0


def test_sent_twice_kept_once(as_tess: Browser, store: Database) -> None:
    """The same key gets the same reply; another key after it, and a step before its turn, a sentence."""
    sheet = begin(as_tess)
    form = {"answer": "1 A-turn", "key": "a" * 32}
    first, again = (as_tess.send(f"/trainee/jobs/{sheet}/1", form) for _ in range(2))
    assert (first.status_code, again.status_code, first.location) == (303, 303, again.location)
    assert answer(as_tess, sheet, 1, "2 A-turn", key="b" * 32) == 409
    early = as_tess.send(f"/trainee/jobs/{sheet}/3", {"answer": "4"})
    assert (early.status_code, "Step 2 comes first" in early.get_data(as_text=True)) == (409, True)
    with store.reading() as session:
        assert session.scalar(select(func.count()).select_from(JobAnswer)) == 1


def test_a_step_can_be_left_out(as_tess: Browser, store: Database, shelf: Shelf) -> None:
    """Without marks; the next step shows the right value to go on with."""
    sheet = begin(as_tess)
    assert answer(as_tess, sheet, 1, "", leave="out") == 303
    shown = page(as_tess, sheet)
    assert "right value of step 1" in shown
    assert "Left out" in shown
    with store.reading() as session:
        assert session.scalars(select(JobAnswer.verdict)).all() == ["left out"]


@pytest.mark.parametrize("wild", ["1e300 A-turn", "0.000001 A-turn", "999999999 A-turn", "-5 A-turn"])
def test_wild_answers_break_no_page(as_tess: Browser, wild: str) -> None:
    """An absurd answer is followed as far as the rule goes; every page still comes."""
    sheet = begin(as_tess)
    if answer(as_tess, sheet, 1, wild) == 422:
        return
    for position, text in ((2, "1 A"), (3, "5")):
        assert as_tess.get(f"/trainee/jobs/{sheet}").status_code == 200
        assert answer(as_tess, sheet, position, text) == 303
    assert "of 4 marks</h1>" in page(as_tess, sheet)


def test_an_unfinished_job_is_gone_on_with(as_tess: Browser) -> None:
    """Beginning again gives the same numbers, so that nobody picks easy ones."""
    assert begin(as_tess) == begin(as_tess, "end")


def test_nobody_elses_job(as_tess: Browser, as_omar: Browser, as_ian: Browser) -> None:
    """Another person's sheet is not found, and instructors see it in no trainee page."""
    sheet = begin(as_tess)
    assert as_omar.get(f"/trainee/jobs/{sheet}").status_code == 404
    assert answer(as_omar, sheet, 1, "1 A-turn") == 404
    assert as_ian.get(f"/trainee/jobs/{sheet}").status_code == 403
    assert as_tess.get("/trainee/jobs/999").status_code == 404
    assert answer(as_tess, sheet, 9, "1 A-turn") == 404
    assert as_tess.send("/trainee/jobs", {"job": "no-such-job"}).status_code == 404


def test_an_edited_bank_changes_no_kept_job(
    as_tess: Browser, store: Database, shelf: Shelf, people: People
) -> None:
    """The sheet is made again from the kept editions of the job and of its drills."""
    from trainer.bank.bank import Bank
    from trainer.services.practising import jobs

    sheet = begin(as_tess)
    answer(as_tess, sheet, 1, "9000 A-turn")
    with store.reading() as session:
        before = jobs.sheet(session, JobShelf(shelf), people.tess, sheet)
        empty = Shelf(Bank(shelf.bank.page, {}, {}, ()))
        after = jobs.sheet(session, JobShelf(empty), people.tess, sheet)
    assert before.drawn == after.drawn
    assert [one.marks for one in before.marked] == [one.marks for one in after.marked]


def test_the_instructor_looks_at_a_job(as_ian: Browser) -> None:
    """Linked from the drill sets; every step with its working; an unknown job is not found."""
    assert f"/instructor/jobs/{JOB}" in as_ian.get("/instructor/sets").get_data(as_text=True)
    shown = as_ian.get(f"/instructor/jobs/{JOB}").get_data(as_text=True)
    assert shown.count("The working</h2>") == 3
    assert "Step 2, 2 marks" in shown
    assert as_ian.get("/instructor/jobs/job-small-coal").status_code == 404


def test_own_data_hold_the_jobs(as_tess: Browser, store: Database, people: People) -> None:
    """What is kept about a person is handed out with the jobs and their answers."""
    from tests.make import NOW
    from trainer.services.overseeing import personal_data

    sheet = begin(as_tess)
    answer(as_tess, sheet, 1, "9000 A-turn")
    with store.reading() as session:
        told = personal_data.everything(session, people.tess, NOW).decode()
    assert '"text": "9000 A-turn"' in told
    assert JOB in told
