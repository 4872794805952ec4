"""Kept answers become rows: first answers only, own people only, unaided only, closed papers only."""

from __future__ import annotations

from statistics import fmean

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sqlalchemy.orm import Session

from tests.answering import DRILL, make_crowd, practise, right_text, sit
from tests.make import NOW, People, make_people, make_person
from trainer.drills.shelf import Shelf
from trainer.errors import NotFound
from trainer.examinations.plan import Line, Plan
from trainer.services.examining import item_statistics, paper_items, printed_papers, scoring_papers, sittings
from trainer.services.examining.item_statistics import PAPERS, PRACTICE
from trainer.services.practising import practice
from trainer.statistics.papers import kr20
from trainer.statistics.replies import Table


@pytest.fixture
def four(session: Session) -> People:
    """The four people in an empty store."""
    return make_people(session)


def family(shelf: Shelf) -> str:
    """The family of the drill that is answered."""
    return shelf.bank.drill(DRILL).drill.skill


def test_first_answers_of_own_people_count(session: Session, shelf: Shelf, four: People) -> None:
    """A second try, somebody else's pupil, an answer with the working shown: none of them counts."""
    _, (one, two) = make_crowd(session, four.ian, 2)
    practise(session, shelf, one, False, 1)
    practise(session, shelf, one, True, 2)
    practise(session, shelf, two, True, 3)
    practise(session, shelf, four.omar, False, 4)
    line = practice.lines_of(shelf, [(DRILL, "I")])[0]
    aided = practice.offer(session, shelf, four.tess, line, "because you chose it", 5, NOW)
    practice.reveal(session, four.tess, aided.id, "working", NOW)
    share = item_statistics.by_family(session, shelf.bank, four.ian, PRACTICE)[family(shelf)]
    assert (share.right, share.of, share.interval) == (1, 2, None)
    other = make_person(session, "TV-08", "Ida", {"instructor"}).id
    assert item_statistics.by_family(session, shelf.bank, other, PRACTICE) == {}
    assert item_statistics.of_drill(session, other, PRACTICE, DRILL) == []


@pytest.mark.sqlite
def test_nothing_but_first_answers_is_counted(session: Session, shelf: Shelf, four: People) -> None:
    """However many answers there are, those that count are counted in an index of nothing else."""
    _, (one,) = make_crowd(session, four.ian, 1)
    practise(session, shelf, one, False, 1)
    asked: list[str] = []
    raw = session.connection().connection.driver_connection
    raw.set_trace_callback(asked.append)
    assert len(item_statistics.of_drill(session, four.ian, PRACTICE, DRILL)) == 1
    raw.set_trace_callback(None)
    found = next(text for text in asked if "GROUP BY answer.person_id" in text)
    plan = [row[3] for row in raw.execute(f"EXPLAIN QUERY PLAN {found}")]
    assert any("COVERING INDEX ix_answer_person_id_first" in step for step in plan), plan


@given(st.lists(st.tuples(st.integers(0, 1), st.integers(0, 2), st.booleans(), st.booleans()), max_size=12))
@settings(max_examples=25, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_first_answers_are_the_earliest_without_help(
    session: Session, shelf: Shelf, four: People, tries: list[tuple[int, int, bool, bool]]
) -> None:
    """Whoever answers what, with help or without, what is counted is what a look at every answer finds."""
    asks = [(DRILL, "I"), (DRILL, "N"), ("prod-current-asme", "I")]
    with session.begin_nested() as turn:
        _, crowd = make_crowd(session, four.ian, 2)
        finds: dict[tuple[int, str, str], bool] = {}
        families: dict[tuple[int, str], bool] = {}
        for seed, (who, what, aided, right) in enumerate(tries):
            drill, find = asks[what]
            practise(session, shelf, crowd[who], right, seed, find, drill, aided)
            if not aided:
                finds.setdefault((crowd[who], drill, find), right)
                families.setdefault((crowd[who], shelf.bank.drill(drill).drill.skill), right)
        for drill in {drill for drill, _ in asks}:
            found = item_statistics.of_drill(session, four.ian, PRACTICE, drill)
            own = {key: right for key, right in finds.items() if key[1] == drill}
            assert [(one.person, drill, one.find, one.right) for one in found] == [
                (*key, right) for key, right in own.items()
            ]
            for one in found:
                others = [right for key, right in finds.items() if key[0] == one.person and key[1] != drill]
                assert one.elsewhere == (fmean(others) if others else 0)
        shares = item_statistics.by_family(session, shelf.bank, four.ian, PRACTICE)
        counted = [(family, right) for (_, family), right in families.items()]
        assert {family: (share.right, share.of) for family, share in shares.items()} == {
            family: (counted.count((family, True)), sum(one == family for one, _ in counted))
            for family, _ in counted
        }
        turn.rollback()


def test_ten_people_give_a_share(session: Session, shelf: Shelf, four: People) -> None:
    """With its interval, for the family and for what was asked."""
    _, crowd = make_crowd(session, four.ian, 10)
    for at, person in enumerate(crowd):
        practise(session, shelf, person, at < 7, at)
    answers = item_statistics.of_drill(session, four.ian, PRACTICE, DRILL)
    found = item_statistics.by_find(answers)["I"].interval
    assert found is not None
    assert [round(x, 3) for x in (found.value, found.low, found.high)] == [0.7, 0.397, 0.892]
    assert item_statistics.by_value(answers) == {}


def test_values_are_compared_from_ten_a_third(session: Session, shelf: Shelf, four: People) -> None:
    """Thirty people who fail at large turns only: that find and that quantity drift, and are named."""
    _, crowd = make_crowd(session, four.ian, 40)
    for at, person in enumerate(crowd):
        line = practice.lines_of(shelf, [(DRILL, "I")])[0]
        row = practice.offer(session, shelf, person, line, "because you chose it", at, NOW)
        turns = float(row.snapshot["given"]["N"])
        practise(session, shelf, person, turns < 4, at)
    found = item_statistics.by_value(item_statistics.of_drill(session, four.ian, PRACTICE, DRILL))
    assert found[("I", "N")].drifts
    assert all(find == "I" for find, _ in found)


def test_slips_are_counted_with_their_makers(session: Session, shelf: Shelf, four: People) -> None:
    """A named slip in a first answer; right answers are no slips."""
    _, (one, two) = make_crowd(session, four.ian, 2)
    practise(session, shelf, one, True, 1)
    practise(session, shelf, two, False, 2)
    found = item_statistics.slips(item_statistics.of_drill(session, four.ian, PRACTICE, DRILL))
    assert [(slip.name, slip.chosen) for slip in found] == [("", 1)]


def test_history_counts_every_use(session: Session, shelf: Shelf, four: People) -> None:
    """Offered, answered, on papers, people, days, editions."""
    class_id, crowd = make_crowd(session, four.ian, 3)
    practise(session, shelf, crowd[0], True, 1)
    practise(session, shelf, crowd[0], True, 2)
    sit(session, shelf, four.ian, class_id, crowd, 2, lambda i, j: True)
    found = item_statistics.use(session, four.ian, shelf.bank, DRILL)
    assert (found.offered, found.answered, found.on_papers, found.people) == (2, 2, 6, 3)
    assert found.first == found.last
    assert [edition for edition, _ in found.editions] == [shelf.bank.drill(DRILL).edition]
    with pytest.raises(NotFound):
        item_statistics.use(session, four.ian, shelf.bank, "no-drill")


def test_an_examination_of_thirty(session: Session, shelf: Shelf, four: People) -> None:
    """Its KR-20 is that of its own table of right and wrong; items keep their drill."""
    class_id, crowd = make_crowd(session, four.ian, 30)
    right = [[(i * 7 + j * 3) % 11 < i % 10 + 1 for j in range(4)] for i in range(30)]
    made = sit(session, shelf, four.ian, class_id, crowd, 4, lambda i, j: right[i][j])
    _, paper, items, asked = item_statistics.of_sitting(session, four.ian, made)
    table = Table(tuple(crowd), tuple("1234"), tuple(tuple(map(int, row)) for row in right))
    assert paper.reliability is not None
    assert paper.reliability.value == pytest.approx(kr20(table))
    assert [one.share.right for one in items] == [sum(row[j] for row in right) for j in range(4)]
    assert asked["1"] == (DRILL, "I")
    answers = item_statistics.of_drill(session, four.ian, PAPERS, DRILL)
    assert item_statistics.by_find(answers)["I"].of == 30
    assert item_statistics.by_family(session, shelf.bank, four.ian, PAPERS)[family(shelf)].of == 30


def test_an_open_examination_has_none(session: Session, shelf: Shelf, four: People) -> None:
    """Before the close nothing is told, and another's examination is none."""
    class_id, crowd = make_crowd(session, four.ian, 1)
    made = sit(session, shelf, four.ian, class_id, crowd, 1, lambda i, j: True)
    other = make_person(session, "TV-08", "Ida", {"instructor"}).id
    with pytest.raises(NotFound):
        item_statistics.of_sitting(session, other, made)
    sittings.own_sitting(session, four.ian, made).state = "open"
    with pytest.raises(NotFound, match="no marked papers"):
        item_statistics.of_sitting(session, four.ian, made)
    assert item_statistics.of_drill(session, four.ian, PAPERS, DRILL) == []


def test_values_typed_from_paper_count_with_their_slips(session: Session, shelf: Shelf, four: People) -> None:
    """A value in brackets is judged like one from a screen; what a person judged, or left empty, tells of no slip."""
    class_id, _ = make_crowd(session, four.ian, 4)
    wanted = Plan((Line(DRILL, "I", 1),), 50)
    made = sittings.plan(session, shelf, four.ian, class_id, "Coils", "I", 30, wanted, "C0DE", NOW).id
    rows = printed_papers.draw(session, shelf, four.ian, made, 4, iter(range(9)).__next__, NOW)
    sittings.open_sitting(session, four.ian, made, NOW)
    signs = []
    for row, wrong in zip(rows, (False, True, None, None), strict=True):
        mould, drawn = paper_items.exercise(session, shelf, printed_papers.items_of(session, row)[0])
        slip = drawn.slips[0]
        signs.append(f"[{slip.value:.6g} A]" if wrong else f"[{right_text(mould, drawn)}]")
    named = mould.read.drill.slips[slip.place].id
    signs[2:] = ["W", "-"]
    lines = "\n".join(f"{at} C-{at - 1:03d} {sign}" for at, sign in enumerate(signs, 1))
    for turn in (1, 2):
        printed_papers.take(session, four.ian, made, turn, lines, NOW)
    session.expire_all()
    scoring_papers.close(session, shelf, four.ian, made, NOW)
    answers = item_statistics.of_drill(session, four.ian, PAPERS, DRILL)
    assert [one.right for one in answers] == [True, False, False, False]
    assert [one.slip for one in answers] == [None, named, None, None]
    assert [(one.name, one.chosen) for one in item_statistics.slips(answers)] == [(named, 1)]
    assert item_statistics.by_find(answers)["I"].of == 4
