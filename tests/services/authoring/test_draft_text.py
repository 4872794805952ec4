"""The text of a draft: what there is to begin from is sound, each fault has its line, hostile texts end soon."""

from __future__ import annotations

import pytest

from tests.drafting import level_ii
from tests.work import calls_in
from trainer.drills.shelf import Shelf
from trainer.formulas.apart import SolvedApart
from trainer.services.authoring import draft_text
from trainer.services.authoring.draft_text import MANY, check, place_of, start
from trainer.settings import bank_folder
from trainer.store.models.drafts import KINDS
from trainer.web.sheets import draft_sheet

PLACES = {
    "question": "questions/own-questions/own-question-1.yaml",
    "drill": "drills/own-drills/own-drill-1.yaml",
    "practical": "practicals/own-practical-1.yaml",
}


@pytest.fixture(scope="module")
def shipped() -> Shelf:
    """The bank that comes with the program."""
    return Shelf.of_folder(bank_folder())


@pytest.mark.parametrize("kind", KINDS)
def test_what_one_begins_from_is_sound(shipped: Shelf, kind: str) -> None:
    """Whoever changes nothing but words has no fault to hunt, and the file's place follows from the text."""
    found = check(shipped, kind, start(kind), seeds=MANY)
    assert (found.faults, found.sound, place_of(kind, start(kind))) == ((), True, PLACES[kind])
    assert found.item is not None
    assert found.item.id in found.shelf.bank.private
    assert found.item.id not in shipped.bank.private


@pytest.mark.parametrize(
    ("kind", "old", "new", "line", "says"),
    [
        ("question", "level: I", "level: V", 5, "write one of"),
        ("question", "right: true, ", "", 4, "one option must be right"),
        ("question", "pool: examination", "pool: examination\n    color: red", 8, "not known here"),
        ("question", "enemies: []", "enemies: [no-such]", 18, "no question 'no-such'"),
        ("question", "id: own-question-1", "id: coil-bar-laid-across", 4, "another item"),
        ("question", "id: own-question-1", "id: ../../key", 4, "cannot be used as a name"),
        ("drill", "NI = I*N", "NI = I*N*Q", 18, "Q"),
        ("drill", "cautions: [current,", "cautions: [no-such,", 44, "no caution 'no-such'"),
        ("drill", "kind: part-in-coil", "kind: nothing", 41, "no figure 'nothing'"),
        ("practical", "detection: 45", "detection: 44", 2, "add up to 99"),
        ("practical", "cautions: [current", "cautions: [no-such", 34, "no caution 'no-such'"),
    ],
)  # fmt: skip
def test_each_fault_has_its_line(shipped: Shelf, kind: str, old: str, new: str, line: int, says: str) -> None:
    """A slip of the pen is told with the line it stands on."""
    text = start(kind)
    assert old in text
    found = check(shipped, kind, text.replace(old, new, 1))
    assert not found.sound
    assert any(abs(one.line - line) <= 2 and says in one.says for one in found.faults), found.faults


@pytest.mark.parametrize(
    "text",
    [
        "a: &a [x]\nb: &b [*a, *a, *a]\nc: &c [*b, *b, *b]\nd: [*c, *c, *c]\n",
        "[" * 5000,
        "- " * 20000,
        "{a: " * 3000,
        "!!python/object/apply:os.system [ls]",
        "x: " + "9" * 50000,
        "? " * 9000,
        "",
        "null",
        "- a\n" * 10000,
        "".join(f"k{i}: {i}\n" for i in range(6000)),
        "z" * (draft_text.LARGEST + 1),
    ],
)
@pytest.mark.parametrize("kind", KINDS)
def test_hostile_texts_are_refused_with_little_work(shipped: Shelf, kind: str, text: str) -> None:
    """Bombs, depth, tags and mere size end as faults, few of them, after a bounded number of calls."""
    found: list[draft_text.Checked] = []
    assert calls_in(lambda: found.append(check(shipped, kind, text))) < 3_000_000
    assert not found[0].sound
    assert 1 <= len(found[0].faults) <= draft_text.MOST_FAULTS


def test_a_draft_in_the_bank_may_keep_its_id_and_no_other(shipped: Shelf) -> None:
    """Checked against a bank that holds it, its own id is no fault; another id is."""
    inside = check(shipped, "question", start("question")).shelf
    assert check(inside, "question", start("question"), own="own-question-1").sound
    assert "another item" in check(inside, "question", start("question")).faults[0].says
    other = start("question").replace("own-question-1", "own-question-2")
    assert "keep the id" in check(inside, "question", other, own="own-question-1").faults[0].says


def test_a_relation_that_takes_too_long_is_a_fault(shipped: Shelf, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever types it is told to write it simpler; nothing is solved in this process, and no preview is drawn."""
    monkeypatch.setattr(draft_text, "SolvedApart", lambda: SolvedApart(seconds=0.001))
    hard = start("drill").replace("NI = I*N", "NI = I*N + I**5*N**3 + I**2")
    found = check(shipped, "drill", hard)
    assert not found.sound
    assert any("write it simpler" in fault.says for fault in found.faults)
    assert draft_sheet.preview(found, 1) is None


def test_own_enemies_need_no_answer(shipped: Shelf) -> None:
    """Two own questions are enemies as soon as one says so: the other may be in use already."""
    inside = check(shipped, "question", start("question")).shelf
    other = start("question").replace("own-question-1", "own-question-2")
    assert check(inside, "question", other.replace("enemies: []", "enemies: [own-question-1]")).sound


def test_a_checklist_may_build_on_one_that_stands_on_its_own_feet(shipped: Shelf) -> None:
    """On a shipped Level I one and on one's own; not on a Level II one, which is joined from two already."""
    assert check(shipped, "practical", level_ii("yoke-ac-weld-1")).faults == ()
    inside = check(shipped, "practical", start("practical")).shelf
    assert check(inside, "practical", level_ii("own-practical-1")).faults == ()
    for builds_on in ("yoke-ac-weld-2", "no-such", "own-practical-2"):
        (fault,) = check(shipped, "practical", level_ii(builds_on)).faults
        assert f"there is no practical '{builds_on}' that stands on its own feet" in fault.says
        assert level_ii(builds_on).splitlines()[fault.line - 1].startswith("builds_on:")


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("{id: light-measured", "{id: own-judged", "the checkpoint 'own-judged' stands twice"),
        ("level: I\n", "level: I\nbuilds_on: demagnetizing-1\n", "stands on its own feet"),
    ],
)
def test_a_checklist_on_which_others_build_may_not_break_them(
    shipped: Shelf, old: str, new: str, says: str
) -> None:
    """Told before the approval, with the one that would fall out of the bank by it."""
    inside = check(shipped, "practical", start("practical")).shelf
    inside = check(inside, "practical", level_ii("own-practical-1")).shelf
    assert check(inside, "practical", start("practical"), own="own-practical-1").faults == ()
    assert old in start("practical")
    changed = start("practical").replace(old, new, 1)
    (fault,) = check(inside, "practical", changed, own="own-practical-1").faults
    assert "'own-practical-2' builds on this checklist" in fault.says
    assert says in fault.says
