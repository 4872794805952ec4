"""Practicals: who may be examined, marks that are only added, two examiners, the close and its ledger entry."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import func, select
from sqlalchemy.orm import Session

from tests.examining import make_examiner, make_practical, make_specimen, mark_all
from tests.make import NOW, People, make_people, make_person
from trainer.bank import Bank
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict, NotAllowed, NotFound, Refused
from trainer.services.examining import practicals, scoring_practicals, specimens
from trainer.services.overseeing import personal_data
from trainer.services.qualifying import standing
from trainer.services.qualifying.schemes import known as known_schemes
from trainer.settings import Settings
from trainer.store.models import Entry, Link, PracticalMark


@pytest.fixture
def four(session: Session) -> People:
    """The four people in an empty store."""
    return make_people(session)


@pytest.fixture
def bank(shelf: Shelf) -> Bank:
    """The small bank."""
    return shelf.bank


def body(session: Session, entry_id: str | None) -> dict[str, Any]:
    """What the ledger holds of an entry."""
    return session.scalars(select(Entry).where(Entry.id == entry_id)).one().body


def test_a_practical_goes_to_the_ledger(session: Session, bank: Bank, four: People) -> None:
    """All done: 100 of 100 with specimen, checkpoints, paper and who administered it."""
    row = make_practical(session, bank, four)
    mark_all(session, bank, four.ian, row.id)
    scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    found = body(session, row.entry_id)
    assert found["specimens"] == [{"specimen": "S-BENCH-1", "checkpoints": "10", "marks": "100", "of": "100"}]
    assert (found["paper"], found["administered_by"]) == (f"practical-{row.id}", "TV-00")
    assert "instruction" not in found
    assert row.score is not None
    assert row.score["passed"] is True


def test_level_ii_enters_the_instruction_too(session: Session, bank: Bank, four: People) -> None:
    """Specimen of 85 and instruction of 15, each by itself."""
    row = make_practical(session, bank, four, checklist="bench-2")
    mark_all(session, bank, four.ian, row.id, settings="partly")
    scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    found = body(session, row.entry_id)
    assert (found["specimens"][0]["of"], found["instruction"]) == ("85", {"marks": "7.5", "of": "15"})


@pytest.mark.parametrize(
    ("changes", "says"),
    [
        ({"p4": "missed"}, "Critical point missed: Part is clamped"),
        ({"known_1": "missed"}, "A discontinuity that must be found was missed"),
        ({"false_calls": "3"}, "Too many false calls"),
    ],
)
def test_a_failed_one_is_entered_with_no_marks_and_why(
    session: Session, bank: Bank, four: People, settings: Settings, changes: dict[str, str], says: str
) -> None:
    """What fails it by itself counts as no marks in every scheme; the note says why and names no place."""
    row = make_practical(session, bank, four)
    mark_all(session, bank, four.ian, row.id, **changes)
    scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    found = body(session, row.entry_id)
    assert found["specimens"][0]["marks"] == "0"
    assert says in found["note"]
    assert "toe crack" not in found["note"]
    judged = standing.of(
        session, four.tess, "SNT-2016-A1", "I", NOW.date(), known_schemes(settings.private_bank)
    )
    assert {one.id: one.verdict for one in judged.prerequisites}["practical"] == "not_met"


def test_marks_are_only_added(session: Session, bank: Bank, four: People) -> None:
    """A second press at a point adds a row; the newest counts; the same key twice adds one."""
    row = make_practical(session, bank, four)
    for mark, key in (("missed", "a"), ("done", "b"), ("done", "b")):
        practicals.mark(session, bank, four.ian, row.id, "p1", mark, key, NOW)
    kept = list(session.scalars(select(PracticalMark.mark).order_by(PracticalMark.id)))
    assert kept == ["missed", "done"]
    assert practicals.own(session, bank, four.ian, row.id).marks[four.ian] == {"p1": "done"}


@pytest.mark.parametrize(
    ("point", "mark"), [("p4", "partly"), ("p99", "done"), ("p1", "good"), ("false-calls", "21"), ("", "")]
)
def test_marks_that_do_not_fit_are_refused(
    session: Session, bank: Bank, four: People, point: str, mark: str
) -> None:
    """Unknown points and words, halves of critical points, absurd counts: refused, nothing kept."""
    row = make_practical(session, bank, four)
    with pytest.raises(Refused):
        practicals.mark(session, bank, four.ian, row.id, point, mark, None, NOW)
    assert session.scalar(select(func.count()).select_from(PracticalMark)) == 0


def test_marks_stand_only_when_all_are_set(session: Session, bank: Bank, four: People) -> None:
    """An unmarked point keeps the sheet open; afterwards nothing is marked any more."""
    row = make_practical(session, bank, four)
    practicals.mark(session, bank, four.ian, row.id, "p1", "done", None, NOW)
    with pytest.raises(Refused, match="12 points are not marked yet"):
        practicals.stand_by(session, bank, four.ian, row.id, NOW)
    with pytest.raises(Conflict, match="Not every examiner"):
        scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    mark_all(session, bank, four.ian, row.id)
    with pytest.raises(Conflict):
        practicals.mark(session, bank, four.ian, row.id, "p1", "missed", None, NOW)
    with pytest.raises(Conflict):
        practicals.stand_by(session, bank, four.ian, row.id, NOW)


def test_two_examiners_mark_apart_and_the_mean_counts(session: Session, bank: Bank, four: People) -> None:
    """No difference is told before both are done; five marks apart enter as two and a half off."""
    edna = make_examiner(session)
    row = make_practical(session, bank, four, edna)
    mark_all(session, bank, four.ian, row.id)
    assert practicals.own(session, bank, edna, row.id).differences == []
    mark_all(session, bank, edna, row.id, p2="missed")
    held = practicals.own(session, bank, edna, row.id)
    assert [(one.id, one.one, one.two) for one in held.differences] == [("p2", "done", "missed")]
    scoring_practicals.close(session, bank, edna, [row.id], NOW)
    found = body(session, row.entry_id)
    assert (found["specimens"][0]["marks"], found["administered_by"]) == ("97.5", "TV-00, TV-20")


def test_a_difference_that_decides_is_settled_first(session: Session, bank: Bank, four: People) -> None:
    """Differing on a critical point refuses the close; one of them marks that point again, and only that."""
    edna = make_examiner(session)
    row = make_practical(session, bank, four, edna)
    mark_all(session, bank, four.ian, row.id)
    mark_all(session, bank, edna, row.id, p4="missed")
    with pytest.raises(Refused, match="a point that decides"):
        scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    with pytest.raises(Conflict):
        practicals.mark(session, bank, edna, row.id, "p1", "missed", None, NOW)
    practicals.mark(session, bank, edna, row.id, "p4", "done", None, NOW)
    scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    assert body(session, row.entry_id)["specimens"][0]["marks"] == "100"


def two_pieces(session: Session, bank: Bank, four: People, **changes: str) -> list[int]:
    """Tess at two specimens before Ian; the second with some marks otherwise."""
    ids = []
    for code in ("P1", "P2"):
        piece = make_specimen(session, four.ian, code).id
        row = practicals.hold(session, bank, four.ian, four.tess, "bench-2", piece, 70, None, NOW)
        mark_all(session, bank, four.ian, row.id, **(changes if code == "P2" else {}))
        ids.append(row.id)
    return ids


def test_two_specimens_are_one_sitting(session: Session, bank: Bank, four: People) -> None:
    """One entry with both specimens, the instructions together; a scheme that wants two finds two."""
    one, two = two_pieces(session, bank, four, settings="missed")
    held = practicals.own(session, bank, four.ian, one)
    assert [other.row.id for other in scoring_practicals.beside(session, bank, four.ian, held)] == [two]
    rows = scoring_practicals.close(session, bank, four.ian, [one, two, two], NOW)
    found = body(session, rows[0].entry_id)
    assert [(s["specimen"], s["marks"]) for s in found["specimens"]] == [("P1", "85"), ("P2", "85")]
    assert (found["instruction"], found["paper"]) == ({"marks": "15", "of": "30"}, f"practical-{one}-{two}")
    assert rows[0].entry_id == rows[1].entry_id
    assert session.scalar(select(func.count()).select_from(Entry)) == 1


def test_what_fails_one_specimen_fails_the_sitting(session: Session, bank: Bank, four: People) -> None:
    """A critical point missed at the second specimen: no marks of either count."""
    ids = two_pieces(session, bank, four, p4="missed")
    rows = scoring_practicals.close(session, bank, four.ian, ids, NOW)
    assert [one["marks"] for one in body(session, rows[0].entry_id)["specimens"]] == ["0", "0"]


def test_only_one_candidate_and_level_a_sitting(session: Session, bank: Bank, four: People) -> None:
    """A Level I sheet and a Level II sheet are not entered together, and nothing is half closed."""
    row = make_practical(session, bank, four)
    mark_all(session, bank, four.ian, row.id)
    other = two_pieces(session, bank, four)[0]
    with pytest.raises(Refused, match="one candidate and one level"):
        scoring_practicals.close(session, bank, four.ian, [row.id, other], NOW)
    assert (row.closed_at, session.scalar(select(func.count()).select_from(Entry))) == (None, 0)


def test_it_is_closed_once(session: Session, bank: Bank, four: People) -> None:
    """A second close and a void afterwards are refused; there is one entry."""
    row = make_practical(session, bank, four)
    mark_all(session, bank, four.ian, row.id)
    scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    with pytest.raises(Conflict):
        scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    with pytest.raises(Conflict):
        practicals.void(session, bank, four.ian, row.id, "Fire alarm", NOW)
    assert session.scalar(select(func.count()).select_from(Entry)) == 1


def test_a_void_one_is_not_scored(session: Session, bank: Bank, four: People) -> None:
    """With the reason kept; the ledger stays empty."""
    row = make_practical(session, bank, four)
    with pytest.raises(Refused):
        practicals.void(session, bank, four.ian, row.id, " ", NOW)
    practicals.void(session, bank, four.ian, row.id, "Fire alarm", NOW)
    with pytest.raises(Conflict):
        scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    assert (row.void_reason, session.scalar(select(func.count()).select_from(Entry))) == ("Fire alarm", 0)


def test_anothers_practical_is_none(session: Session, bank: Bank, four: People) -> None:
    """Neither an examiner of the house who is not on it, nor the candidate, nor another house finds it."""
    row = make_practical(session, bank, four)
    for person in (make_examiner(session), four.tess, four.omar, four.emma):
        with pytest.raises(NotFound):
            practicals.own(session, bank, person, row.id)


def test_who_can_be_examined(session: Session, bank: Bank, four: People) -> None:
    """Not oneself, not somebody of another house, not somebody who may read maps."""
    piece = make_specimen(session, four.ian).id
    edna = make_examiner(session)

    def hold(person: int, second: int | None = None) -> None:
        practicals.hold(session, bank, four.ian, person, "bench-1", piece, 80, second, NOW)

    with pytest.raises(Refused, match="themselves"):
        hold(four.ian)
    with pytest.raises(NotFound):
        hold(four.omar)
    with pytest.raises(Refused, match="may read the maps"):
        hold(edna)
    with pytest.raises(Refused, match="somebody else"):
        hold(four.tess, four.ian)
    with pytest.raises(NotAllowed):
        hold(four.tess, four.emma)
    with pytest.raises(NotFound, match="bench-1"):
        practicals.hold(session, bank, four.ian, four.tess, "bench-3", piece, 80, None, NOW)


def test_the_specimen_must_fit(session: Session, bank: Bank, four: People) -> None:
    """Too many known discontinuities, a retired piece, a mark beyond 100: refused."""
    many = make_specimen(session, four.ian, "P5", "crack; 1; 1; 1\n" * 5)
    with pytest.raises(Refused, match="holds 5; this checklist wants 1 to 4"):
        practicals.hold(session, bank, four.ian, four.tess, "bench-1", many.id, 80, None, NOW)
    piece = make_specimen(session, four.ian)
    with pytest.raises(Refused, match="1 to 100"):
        practicals.hold(session, bank, four.ian, four.tess, "bench-1", piece.id, 101, None, NOW)
    specimens.retire(session, four.ian, piece.id, NOW)
    with pytest.raises(Refused, match="retired"):
        practicals.hold(session, bank, four.ian, four.tess, "bench-1", piece.id, 80, None, NOW)


def test_specimens_belong_to_the_house(session: Session, four: People) -> None:
    """A code is used once at a time; another house's specimen is none."""
    piece = make_specimen(session, four.ian)
    with pytest.raises(Conflict, match="P4 already"):
        make_specimen(session, four.ian)
    stranger = make_person(session, "HK-01", "Hugo", {"examiner"}, house="Hook and Chain Works").id
    with pytest.raises(NotFound):
        specimens.own(session, stranger, piece.id)
    specimens.retire(session, four.ian, piece.id, NOW)
    assert make_specimen(session, four.ian).id != piece.id
    assert [one.retired_at is None for one in specimens.of_house(session, four.ian)] == [True, False]


def test_the_map_goes_nowhere(session: Session, bank: Bank, four: People) -> None:
    """Neither what a candidate is handed about themselves, nor the ledger, nor the chain holds it."""
    row = make_practical(session, bank, four)
    mark_all(session, bank, four.ian, row.id)
    assert b'"practical_marks": []' in personal_data.everything(session, four.tess, NOW)
    scoring_practicals.close(session, bank, four.ian, [row.id], NOW)
    handed = personal_data.everything(session, four.tess, NOW).decode()
    told = (
        handed
        + str(body(session, row.entry_id))
        + str([link.event for link in session.scalars(select(Link))])
    )
    assert "known-1" in handed
    assert not [word for word in ("toe crack", "seam", '"x"') if word in told]


def test_a_changed_checklist_changes_no_practical(
    session: Session, bank: Bank, four: People, shelf: Shelf
) -> None:
    """A practical begun on an edition is marked and closed on it, whatever the bank says now."""
    row = make_practical(session, bank, four)
    emptied = Bank(bank.page, bank.drills, bank.cautions, bank.terms)
    held = practicals.own(session, emptied, four.ian, row.id)
    assert held.checklist == bank.practical("bench-1").practical
