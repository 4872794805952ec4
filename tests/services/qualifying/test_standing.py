"""The standing judged from the store is the one that the history file gives, and a house is placed by it."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import pytest
from sqlalchemy.orm import Session

from tests.entering import CERTIFICATE, GENERAL, PRACTICAL, SPECIFIC, VISION, make_level_iii, verified
from tests.make import People, make_people
from trainer.errors import NotFound, Refused
from trainer.qualification import Level, Scheme, Verdict, read_history
from trainer.qualification import standing as judge
from trainer.services.qualifying import histories, schemes, standing

ON = date(2026, 11, 25)


@pytest.fixture(scope="module")
def known() -> dict[str, Scheme]:
    """The schemes that are shipped."""
    return schemes.known(Path("nowhere"))


@pytest.fixture
def four(session: Session) -> People:
    """The four."""
    return make_people(session)


def fill(session: Session, people: People) -> int:
    """Enough for SNT-2016-A1 Level I but for hours of experience; return the Level III's id."""
    level_iii = make_level_iii(session)
    for day in ("2026-11-02", "2026-11-03", "2026-11-04"):
        verified(session, people.tess, people.emma, "employer", level_iii, "training", date=day)
    for body in (GENERAL, SPECIFIC):
        boss = people.emma
        verified_examination(session, people, level_iii, body)
        verified(session, people.tess, people.tess, "trainee", boss, "experience", note=str(body["part"]))
    verified_examination(session, people, level_iii, PRACTICAL)
    verified(session, people.tess, people.tess, "trainee", people.emma, "vision")
    verified(
        session,
        people.tess,
        people.tess,
        "trainee",
        people.emma,
        "vision",
        test="colour",
        chart="",
        distance_cm="",
    )
    return level_iii


def verified_examination(session: Session, people: People, level_iii: int, body: dict[str, object]) -> None:
    """One part entered by Ian as the instructor and countersigned by the Level III."""
    from tests.make import NOW
    from trainer.services.qualifying import countersigning, ledger

    row = ledger.enter(session, people.tess, "examination", body, people.ian, "instructor", NOW)
    countersigning.countersign(session, [row.id], level_iii, NOW)


def test_the_store_and_the_file_agree(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """The same entries judged from the store, and from the exported history text, give the same rows."""
    fill(session, four)
    judged = standing.of(session, four.tess, "SNT-2016-A1", "I", ON, known)
    text = histories.history_text(session, four.tess)
    again = judge(read_history(text, "tess.yaml", known), known["SNT-2016-A1"], Level.I, ON)
    assert judged.prerequisites == again.prerequisites
    assert {row.id: row.verdict for row in judged.prerequisites}["general"] is Verdict.MET
    assert [identity for identity, _says in judged.missing] == ["experience_method", "experience_total"]


def test_past_and_future_days(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """Before the first entry nothing is held; after a year near vision has run out."""
    fill(session, four)
    early = standing.of(session, four.tess, "SNT-2016-A1", "I", date(2026, 11, 1), known)
    late = standing.of(session, four.tess, "SNT-2016-A1", "I", date(2027, 11, 11), known)
    assert all(row.verdict is not Verdict.MET for row in early.prerequisites)
    assert {row.id: row.verdict for row in late.prerequisites}["vision_near"] is Verdict.EXPIRED


@pytest.mark.parametrize(
    ("scheme", "level"), [("SNT-1999", "I"), ("", "I"), ("SNT-2020", "III"), ("SNT-2020", "")]
)
def test_no_such_scheme_or_level(
    session: Session, four: People, known: dict[str, Scheme], scheme: str, level: str
) -> None:
    """What is not offered is not found."""
    with pytest.raises(NotFound):
        standing.of(session, four.tess, scheme, level, ON, known)


def test_a_level_that_a_scheme_does_not_judge(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """ACCP judges Level II only and says so."""
    with pytest.raises(Refused, match="Level II only"):
        standing.of(session, four.tess, "ACCP-II", "I", ON, known)


def test_usual_scheme(session: Session, four: People, known: dict[str, Scheme]) -> None:
    """First the house's own, then that of an application, then that of the certificate."""
    level_iii = make_level_iii(session)

    def now() -> tuple[str, str]:
        return standing.usual(histories.history_of(session, four.tess), ON, known)

    assert now() == ("SNT-2016-A1", "I")
    verified(
        session, four.tess, four.emma, "employer", level_iii, "application", scheme="ISO9712-2021", level="II"
    )
    assert now() == ("ISO9712-2021", "II")
    verified(session, four.tess, four.emma, "employer", level_iii, "certificate", **CERTIFICATE)
    assert now() == ("SNT-2016-A1", "I")


def test_a_house_is_placed_by_who_is_due_first(
    session: Session, four: People, known: dict[str, Scheme]
) -> None:
    """Who has a record or is a trainee stands in the list, with what runs out and what they may do today."""
    level_iii = make_level_iii(session)
    verified(
        session, four.tess, four.emma, "employer", level_iii, "vision", **{**VISION, "date": "2025-11-10"}
    )
    verified(session, four.ian, four.emma, "employer", level_iii, "vision")
    verified(session, four.ian, four.emma, "employer", level_iii, "certificate")
    placed = standing.of_house(session, four.emma, ON, known)
    assert [one.person.works_number for one in placed] == ["TV-07", "TV-00"]
    assert (placed[0].dues[0].row.id, placed[0].dues[0].until) == ("vision_near", date(2026, 11, 10))
    assert placed[0].outline.may_work.startswith("under supervision")
    assert placed[1].outline.may_work == "Level I work: certificate and near vision current"
    late = standing.of_house(session, four.emma, date(2027, 11, 12), known)
    assert "near vision ran out" in {one.person.works_number: one.outline.may_work for one in late}["TV-00"]


def test_every_row_has_a_name(known: dict[str, Scheme]) -> None:
    """Names are for people: no underscore is ever shown."""
    assert standing.title("practical_specimen_12") == "Practical, specimen 12"
    assert standing.title("something_new") == "Something new"
    assert all("_" not in name for name in standing.TITLES.values())


def test_own_schemes_stand_beside_those_shipped(tmp_path: Path) -> None:
    """A scheme file of the private bank is known after it is put there, without a new start."""
    from trainer.settings import bank_folder

    assert "OURS-1" not in schemes.known(tmp_path)
    (tmp_path / "schemes").mkdir()
    text = (bank_folder() / "schemes" / "SNT-2020.yaml").read_text(encoding="utf-8")
    (tmp_path / "schemes" / "OURS-1.yaml").write_text(
        text.replace("id: SNT-2020", "id: OURS-1"), encoding="utf-8"
    )
    assert "OURS-1" in schemes.known(tmp_path)
