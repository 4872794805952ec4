"""The field behind the rule: after the answer, never before, and nobody else's."""

from __future__ import annotations

from tests.conftest import Browser
from tests.web.test_practice import begin
from trainer.store import Database


def test_the_field_is_shown_after_the_answer_only(as_tess: Browser, store: Database) -> None:
    """Before the answer its address leads back to the question; afterwards the verdict leads to it."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    why = f"/trainee/practice/{number}/why"
    early = as_tess.get(why)
    assert (early.status_code, early.location) == (303, f"/trainee/practice/{number}")
    assert "Why the rule works" not in as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    as_tess.send(f"/trainee/practice/{number}/working")
    assert "Why the rule works" not in as_tess.get(f"/trainee/practice/{number}").get_data(as_text=True)
    as_tess.send(f"/trainee/practice/{number}", {"answer": "1 A"})
    assert why in as_tess.get(f"/trainee/practice/{number}/verdict").get_data(as_text=True)
    page = as_tess.get(why).get_data(as_text=True)
    assert "Empty coil, in its middle" in page
    assert "The model and its limits" in page
    assert "pacemaker" in page.lower() or "implant" in page.lower()


def test_another_one_sees_nothing(as_tess: Browser, as_omar: Browser) -> None:
    """An exercise of somebody else looks like none."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="I")
    assert as_omar.get(f"/trainee/practice/{number}/why").status_code == 404


def test_a_find_without_a_picture_has_no_link(as_tess: Browser) -> None:
    """Where only L over D is known nothing can be drawn to scale: no link, and the address is not found."""
    number = begin(as_tess, drill="coil-low-fill-wall", find="ratio")
    as_tess.send(f"/trainee/practice/{number}", {"answer": "1"})
    why = f"/trainee/practice/{number}/why"
    assert why not in as_tess.get(f"/trainee/practice/{number}/verdict").get_data(as_text=True)
    reply = as_tess.get(why)
    assert reply.status_code == 404
    assert "no field picture for this exercise" in reply.get_data(as_text=True)


def test_the_instructor_sees_it_with_the_numbers_of_the_preview(as_ian: Browser) -> None:
    """The preview leads to the field of the same seed; odd seeds do no harm."""
    page = as_ian.get("/instructor/drills/coil-low-fill-wall?find=I").get_data(as_text=True)
    assert "/instructor/drills/coil-low-fill-wall/why?find=I&amp;seed=" in page
    for seed in ("3", "-1", "x", "9" * 40):
        reply = as_ian.get(f"/instructor/drills/coil-low-fill-wall/why?find=I&seed={seed}")
        assert reply.status_code == 200, seed
    assert as_ian.get("/instructor/drills/coil-low-fill-wall/why?find=Z").status_code == 404
    assert as_ian.get("/instructor/drills/moon/why").status_code == 404
