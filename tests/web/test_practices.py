"""The written practice as pages: drafting, approving, refusing, not yours, bad input kept."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.conftest import Browser
from tests.entering import make_level_iii
from tests.make import People, make_person
from trainer.store import Database

HEAD = {"scheme": "SNT-2016-A1", "revision": "4", "in_force": "2026-11-25"}
KEPT = {"value-general.pass": "75", "reason-general.pass": "kept &amp;"}
TYPED = {**HEAD, "value-training.I": "20", "reason-training.I": "our castings are hard"}
PLACE = "/employer/practices"


@pytest.fixture
def as_level_iii(store: Database, people: People, signed_in: Callable[[int], Browser]) -> Browser:
    """The browser of the Level III of the house."""
    with store.writing() as session:
        made = make_level_iii(session)
    return signed_in(made)


def text(browser: Browser, path: str) -> str:
    """A page that must be there."""
    response = browser.get(path)
    assert response.status_code == 200, path
    return response.get_data(as_text=True)


def test_from_draft_to_standing(people: People, as_emma: Browser, as_level_iii: Browser) -> None:
    """Emma drafts, the Level III approves, and the standing of Tess names the revision and asks its hours."""
    assert "published editions apply" in text(as_emma, f"{PLACE}/")
    form = text(as_emma, f"{PLACE}/draft?scheme=SNT-2016-A1")
    assert ("Training, Level I" in form, "12 h; unconfirmed, check your copy" in form) == (True, True)
    sent = as_emma.send(f"{PLACE}/draft", TYPED)
    assert (sent.status_code, sent.location) == (303, f"{PLACE}/1")
    mine = text(as_emma, f"{PLACE}/1")
    assert ("our castings are hard" in mine, "another person, a Level III" in mine) == (True, True)
    assert "Approve revision" not in mine
    before = text(as_emma, f"/employer/people/{people.tess}?scheme=SNT-2016-A1&level=I")
    assert as_level_iii.send(f"{PLACE}/1/approve").status_code == 303
    after = text(as_emma, f"/employer/people/{people.tess}?scheme=SNT-2016-A1&level=I")
    assert ("20 h" in before, "20 h" in after, "revision 4, in force 2026-11-25" in after) == (
        False, True, True,
    )  # fmt: skip
    assert "in force" in text(as_emma, f"{PLACE}/")


def test_the_trainee_sees_the_same(
    people: People, as_tess: Browser, as_emma: Browser, as_level_iii: Browser
) -> None:
    """Tess's own standing names the revision too."""
    as_emma.send(f"{PLACE}/draft", TYPED)
    as_level_iii.send(f"{PLACE}/1/approve")
    assert "revision 4, in force 2026-11-25" in text(as_tess, "/record/?scheme=SNT-2016-A1&level=I")


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"reason-training.I": ""}, "why this figure is changed"),
        ({"value-training.I": " "}, "take its reason away"),
        ({"value-training.I": "many"}, "not a plain decimal"),
        ({"revision": ""}, "The revision is missing"),
        ({"in_force": "soon"}, "year, month, day"),
        ({"value-weights": "1, 2", "reason-weights": "why"}, "three numbers"),
        ({"value-training.I": "<b>" * 50}, "not a plain decimal"),
    ],
)
def test_bad_drafts_keep_what_was_typed(
    people: People, as_emma: Browser, change: dict[str, str], says: str
) -> None:
    """The sentence stands at its figure, everything typed is still there, and nothing is drafted."""
    response = as_emma.send(f"{PLACE}/draft", {**TYPED, **KEPT, **change})
    page = response.get_data(as_text=True)
    assert (response.status_code, says in page, "kept &amp;amp;" in page) == (422, True, True)
    assert "None yet" in text(as_emma, f"{PLACE}/")


def test_a_next_revision_begins_from_the_newest(people: People, as_emma: Browser) -> None:
    """The form of the next draft holds the figures of the last one, and its number is one higher."""
    as_emma.send(f"{PLACE}/draft", TYPED)
    form = text(as_emma, f"{PLACE}/draft?scheme=SNT-2016-A1")
    assert ('value="our castings are hard"' in form, 'value="5"' in form) == (True, True)


def test_refusing_and_taking_back(people: People, as_emma: Browser, as_level_iii: Browser) -> None:
    """A reason is asked for; the refused revision stays readable and cannot be decided again."""
    as_emma.send(f"{PLACE}/draft", TYPED)
    empty = as_level_iii.send(f"{PLACE}/1/refuse", {"reason": " "})
    assert (empty.status_code, "why" in empty.get_data(as_text=True)) == (422, True)
    assert as_level_iii.send(f"{PLACE}/1/refuse", {"reason": "not agreed"}).status_code == 303
    assert "not agreed" in text(as_emma, f"{PLACE}/1")
    assert as_level_iii.send(f"{PLACE}/1/approve").status_code == 409


def test_own_drafts_and_other_houses(
    store: Database,
    people: People,
    signed_in: Callable[[int], Browser],
    as_emma: Browser,
    as_level_iii: Browser,
) -> None:
    """A drafter cannot approve; another house finds no such revision; an unknown edition is not found."""
    as_level_iii.send(f"{PLACE}/draft", TYPED)
    assert as_level_iii.send(f"{PLACE}/1/approve").status_code == 403
    assert as_emma.send(f"{PLACE}/1/approve").status_code == 403
    with store.writing() as session:
        other = make_person(session, "HK-90", "Other", {"level_iii"}, house="Hook and Chain Works").id
    boss = signed_in(other)
    assert boss.get(f"{PLACE}/1").status_code == 404
    assert boss.send(f"{PLACE}/1/approve").status_code == 404
    assert boss.send(f"{PLACE}/1/refuse", {"reason": "mine"}).status_code == 404
    for scheme in ("SNT-1066", "", "ACCP-II"):
        assert as_emma.get(f"{PLACE}/draft?scheme={scheme}").status_code == 404
        assert as_emma.send(f"{PLACE}/draft", {**TYPED, "scheme": scheme}).status_code == 404
