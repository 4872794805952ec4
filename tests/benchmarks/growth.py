"""What pages and an answer cost when 100, 10,000 and 1,000,000 answers are stored. Run by hand:

python -m tests.benchmarks.growth [MOST]

Times are the processor's, so that a busy machine shows the same as a quiet one. A class of twelve in works of sixty, so that
the first page of every list is full; beyond 10,000 answers others of the works have given the rest, as years of classes do.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from datetime import timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import func, insert, select
from sqlalchemy.orm import Session

from tests.conftest import Browser
from tests.make import NOW, make_class, make_people, make_person, make_token
from tests.web.test_practice import begin, key_of
from trainer.app import create_app
from trainer.drills.shelf import Shelf
from trainer.practice.skill import Skill, after
from trainer.questions.ask import ask
from trainer.records import chain
from trainer.services.keeping import audit, editions
from trainer.services.keeping.moments import local_day
from trainer.services.practising import questions
from trainer.settings import Settings, bank_folder
from trainer.store.models import Answer, Exercise, Link, QuestionAnswer, QuestionSheet, SkillState
from trainer.web.access import COOKIE

SIZES = (100, 10_000, 1_000_000)
MOST_EACH = 833
AT_ONCE = 5_000
TIMES = 15
DAYS = 60
WORKS = 60
DRILLS = ("coil-low-fill-wall", "prod-current-asme", "conductor-offset", "convert-length")
Line = tuple[str, str]  # a drill and what it asks for


@dataclass(frozen=True, slots=True)
class House:
    """Who is asked, and the class."""

    tess: int
    ian: int
    emma: int
    class_id: int


def fill(session: Session, shelf: Shelf, answers: int) -> House:
    """Store so many answers with their exercises, links and skills, as fast as the store takes them."""
    people = make_people(session)
    mates = [make_person(session, f"TV-{100 + n}", f"Trainee {n}").id for n in range(11)]
    made = make_class(session, people.ian, people.tess, *mates)
    crowd = [people.tess, *mates]
    while len(crowd) * MOST_EACH < answers:
        crowd.append(make_person(session, f"TV-{1000 + len(crowd)}", f"Trainee {len(crowd)}").id)
    for number in range(len(crowd), WORKS):
        make_person(session, f"TV-{1000 + number}", f"Trainee {number}")
    lines = [(drill, next(iter(shelf.bank.drill(drill).drill.finds))) for drill in DRILLS]
    answer(session, shelf, crowd, lines, answers)
    for person in crowd:
        add_skills(session, shelf, person, lines, answers // len(crowd))
    return House(people.tess, people.ian, people.emma, made.id)


def answer(session: Session, shelf: Shelf, crowd: list[int], lines: list[Line], answers: int) -> None:
    """Store so many answers of these people, each going through these lines again and again."""
    editions_of = {drill: editions.keep(session, shelf.bank.drill(drill), NOW) for drill, _ in lines}
    session.flush()
    rows: list[dict[str, dict[str, Any]]] = []
    for row in given(session, shelf, crowd, lines, editions_of, answers):
        rows.append(row)
        if len(rows) == AT_ONCE:
            keep(session, rows)
    keep(session, rows)


def add_skills(session: Session, shelf: Shelf, person: int, lines: list[Line], answers: int) -> None:
    """What a person can do after so many answers to these lines, one after the other."""
    met = Counter(shelf.bank.drill(drill).drill.skill for drill, _ in lines[:answers])
    session.add_all(state(person, family, count * answers // len(lines)) for family, count in met.items())


def given(
    session: Session,
    shelf: Shelf,
    crowd: list[int],
    lines: list[Line],
    editions_of: dict[str, str],
    answers: int,
) -> Iterator[dict[str, dict[str, Any]]]:
    """Exercise, answer and link of each stored answer, spread over the last days; numbered on from what is there."""
    last = audit.recent(session, 1)[0]
    seq, prev = last.seq, last.hash
    first = (session.scalar(select(func.max(Exercise.id))) or 0) + 1
    shown = {line: shelf.draw(line[0], 1, line[1]).snapshot() for line in lines}
    for number in range(answers):
        turn = number // len(crowd)
        drill, find = line = lines[turn % len(lines)]
        person, at = crowd[number % len(crowd)], NOW - timedelta(days=DAYS) * (1 - number / answers)
        seq, when = seq + 1, audit.moment(at)
        event: Any = {"who": person, "what": "practice answered", "about": str(first + number), "where": ""}
        digest = chain.hash_of(seq, when, event, prev)
        yield {
            "exercise": {
                "id": first + number, "person_id": person, "edition_hash": editions_of[drill], "drill_id": drill,
                "family": shelf.bank.drill(drill).drill.skill, "seed": number, "find": find,
                "snapshot": shown[line], "offered_at": at, "aided": False, "reason": "a test",
            },
            "answer": {
                "exercise_id": first + number, "person_id": person, "text": "4.95 kA", "key": f"k{number}",
                "verdict": "right" if number % 3 else "wrong", "slip": None, "answered_at": at,
                "is_first": turn < len(lines),
            },
            "link": {"seq": seq, "time": when, "event": event, "prev": prev, "hash": digest},
        }  # fmt: skip
        prev = digest


def choose(session: Session, shelf: Shelf, crowd: list[int], answers: int) -> None:
    """Store so many answers of these people to questions, each person going through the practice pool again and again."""
    pool = [one for one in shelf.bank.questions.values() if one.question.pool == "practice"]
    asked = [ask(shelf, one, 1) for one in pool]
    kept = [questions.keep(session, shelf, one, NOW) for one in asked]
    session.flush()
    first = (session.scalar(select(func.max(QuestionSheet.id))) or 0) + 1
    for start in range(0, answers, AT_ONCE):
        sheets, given = [], []
        for number in range(start, min(start + AT_ONCE, answers)):
            turn, person = divmod(number, len(crowd))
            place, at = turn % len(pool), NOW - timedelta(days=DAYS) * (1 - number / answers)
            sheets.append(
                {
                    "id": first + number,
                    "person_id": crowd[person],
                    "edition_hash": kept[place],
                    "question_id": pool[place].id,
                    "topic": pool[place].topic,
                    "seed": 1,
                    "snapshot": asked[place].snapshot(),
                    "reason": "a test",
                    "asked_at": at,
                }
            )
            given.append(
                {
                    "sheet_id": first + number,
                    "person_id": crowd[person],
                    "letter": "A",
                    "key": f"q{number}",
                    "verdict": "right" if number % 3 else "wrong",
                    "answered_at": at,
                    "is_first": turn < len(pool),
                }
            )
        session.execute(insert(QuestionSheet.table()), sheets)
        session.execute(insert(QuestionAnswer.table()), given)


def keep(session: Session, rows: list[dict[str, dict[str, Any]]]) -> None:
    """Store a batch and forget it."""
    if rows:
        for name, table in (("exercise", Exercise), ("answer", Answer), ("link", Link)):
            session.execute(insert(table.table()), [row[name] for row in rows])
        rows.clear()


def state(person: int, family: str, answers: int) -> SkillState:
    """A skill after some answers."""
    skill = Skill()
    for number in range(min(answers, 10) + 1):
        skill = after(skill, number % 3 > 0, local_day(NOW - timedelta(days=20 - number)))
    return SkillState(
        person_id=person, family=family, state=skill.state, theta=skill.theta, answers=skill.answers,
        first_right=False, due_on=skill.due_on, data=skill.as_data(), changed_at=NOW,
    )  # fmt: skip


def milliseconds(act: Callable[[], object]) -> float:
    """The median processor time of an act."""
    times = []
    for _ in range(TIMES):
        began = time.process_time()
        act()
        times.append(time.process_time() - began)
    return statistics.median(times) * 1000


def measured(answers: int, shelf: Shelf) -> dict[str, float]:
    """Milliseconds of each page and of one answer over so many stored answers."""
    with tempfile.TemporaryDirectory(prefix="growth-") as folder:
        app = create_app(Settings(instance=Path(folder)), clock=lambda: NOW, shelf=shelf)
        app.test_client_class = Browser
        database = app.extensions["trainer"].database
        with database.writing() as session:
            house = fill(session, shelf, answers)
        browsers: dict[int, Any] = {}
        for person in (house.tess, house.ian, house.emma):
            browsers[person] = app.test_client()
            with database.writing() as session:
                browsers[person].set_cookie(COOKIE, make_token(session, person))
        found = {}
        sheet = begin(browsers[house.tess], drill=DRILLS[1])
        for name, person, path in pages(house, sheet):
            status = browsers[person].get(path).status_code  # warm, as the second visitor finds it
            assert status == 200, (path, status)
            found[name] = milliseconds(lambda person=person, path=path: browsers[person].get(path))
        found["answer"] = answer_time(browsers[house.tess])
        database.close()
    return found


def answer_time(tess: Browser) -> float:
    """One POST of an answer; offering and looking at the sheet are not counted."""
    times, token = [], tess.token()
    for _ in range(TIMES):
        number = begin(tess, drill=DRILLS[0], find="I")
        key = key_of(tess.get(f"/trainee/practice/{number}").get_data(as_text=True))
        began = time.process_time()
        reply = tess.post(
            f"/trainee/practice/{number}", data={"answer": "4.95 kA", "key": key, "csrf_token": token}
        )
        times.append(time.process_time() - began)
        assert reply.status_code == 303
    return statistics.median(times) * 1000


def pages(house: House, sheet: int) -> Iterator[tuple[str, int, str]]:
    """Name, who asks, address."""
    yield "first page", house.tess, "/trainee/"
    yield "sheet", house.tess, f"/trainee/practice/{sheet}"
    yield "verdict", house.tess, "/trainee/practice/1/verdict"
    yield "drills", house.tess, "/trainee/drills"
    yield "record", house.tess, "/record/"
    yield "people", house.ian, "/people/"
    yield "found", house.ian, "/people/?words=trainee+1"
    yield "ledgers", house.emma, "/ledger/people"
    yield "waiting", house.emma, "/ledger/"
    yield "classes", house.ian, "/instructor/classes"
    yield "class", house.ian, f"/instructor/classes/{house.class_id}"
    yield "board", house.ian, f"/instructor/classes/{house.class_id}/now"
    yield "sets", house.ian, "/instructor/sets"
    yield "new set", house.ian, "/instructor/sets/new"
    yield "practicals", house.ian, "/practicals/"
    yield "own items", house.ian, "/drafts/"
    yield "who left", house.emma, "/employer/erasures/"
    yield "due", house.emma, "/employer/"
    yield "matrix", house.emma, "/employer/matrix"
    yield "chain", house.emma, "/employer/chain"


def main() -> None:
    """Print milliseconds and the ratio to the smallest store."""
    shelf = Shelf.of_folder(bank_folder())
    sizes = [size for size in SIZES if size <= int(sys.argv[1] if len(sys.argv) > 1 else SIZES[-1])]
    found = [measured(size, shelf) for size in sizes]
    print(
        f"{'':12}"
        + "".join(f"{size:>12,}" for size in sizes)
        + "   ms, median; last by first, last by middle"
    )
    for name in found[0]:
        row = [one[name] for one in found]
        print(
            f"{name:12}"
            + "".join(f"{ms:12.1f}" for ms in row)
            + f"{row[-1] / row[0]:8.2f}{row[-1] / row[-2:][0]:8.2f}"
        )


if __name__ == "__main__":
    main()
