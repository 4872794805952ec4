"""What every page costs when 100, 10,000 and 1,000,000 answers are stored. Run by hand:

python -m tests.benchmarks.every_page [MOST]

The pages are those of the filled demo, found by walking along its links. The answers, half to all drills and half to
all questions, are its trainees' and, beyond 10,000, those of others of the works, who are sixty at least. Times are the
processor's, the median of seven, the three stores asked in turn.
Printed is each page that costs more than 1.2 times what it does with 100, and how many do not.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import ExitStack
from pathlib import Path

from sqlalchemy import select

from tests.benchmarks.growth import MOST_EACH, SIZES, WORKS, add_skills, answer, choose
from tests.browser.whole_house import House, addresses, filled
from tests.make import make_person
from trainer.services.inventing.demo import HOUSE
from trainer.settings import Settings
from trainer.store.models import Person, PersonRole, SkillState

TIMES = 7
TOLD = 1.2


def grown(house: House, answers: int) -> None:
    """Let the trainees of the house, and as many others as it takes, have answered so often."""
    parts = house.parts
    open_to_all = [entry for entry in parts.bank.drills.values() if not entry.drill.examination_only]
    lines = [(entry.id, find) for entry in open_to_all for find in entry.drill.finds]
    with parts.database.writing() as session:
        trainees = (
            select(Person.id)
            .join(PersonRole, PersonRole.person_id == Person.id)
            .where(PersonRole.role == "trainee")
        )
        crowd = list(session.scalars(trainees.order_by(Person.id)))
        known, wanted = len(crowd), -(-answers // MOST_EACH)
        crowd += [
            make_person(session, f"TV-{1000 + number}", f"Trainee {number}", house=HOUSE).id
            for number in range(known, max(WORKS, wanted))
        ]
        busy = crowd[: max(known, wanted)]
        session.flush()
        answer(session, parts.shelf, busy, lines, answers // 2)
        choose(session, parts.shelf, busy, answers // 2)
        for person in busy:
            known_to = set(session.scalars(select(SkillState.family).where(SkillState.person_id == person)))
            new = [line for line in lines if parts.bank.drill(line[0]).drill.skill not in known_to]
            add_skills(session, parts.shelf, person, new, answers // 2 // len(busy))


def built(folder: Path, answers: int) -> tuple[House, dict[str, tuple[str, str]]]:
    """A house with so many answers, and who opens which address for each page, by its name in the map of pages."""
    house = filled(Settings(instance=folder))
    places = addresses(house)
    grown(house, answers)
    return house, places


def times(houses: list[tuple[House, dict[str, tuple[str, str]]]], name: str) -> list[float]:
    """Milliseconds of one page in each house, asked in turn, so that whatever else disturbs the machine disturbs all."""
    asks = [_asked(house, *places[name]) for house, places in houses]
    took = [[_processor_time(ask) for ask in asks] for _ in range(TIMES)]
    return [statistics.median(column) * 1000 for column in zip(*took, strict=True)]


def _asked(house: House, number: str, path: str) -> Callable[[], None]:
    browser = house.client(number)

    def ask() -> None:
        assert browser.get(path).status_code == 200, path

    return ask


def _processor_time(act: Callable[[], None]) -> float:
    act()  # warms what is remembered of one store and forgotten for another
    began = time.process_time()
    act()
    return time.process_time() - began


def main() -> None:
    """Print the pages that grow, and the count of the others."""
    sizes = [size for size in SIZES if size <= int(sys.argv[1] if len(sys.argv) > 1 else SIZES[-1])]
    with ExitStack() as folders:
        houses = [
            built(Path(folders.enter_context(tempfile.TemporaryDirectory(prefix="growth-"))), size)
            for size in sizes
        ]
        growing = {name: times(houses, name) for name in sorted(houses[0][1])}
        for house, _places in houses:
            house.parts.database.close()
    print(f"{'':34}" + "".join(f"{size:>12,}" for size in sizes) + "   ms, median; last by first")
    for name, row in sorted(growing.items(), key=lambda item: -item[1][-1] / item[1][0]):
        if row[-1] > TOLD * row[0]:
            print(f"{name:34}" + "".join(f"{ms:12.1f}" for ms in row) + f"{row[-1] / row[0]:8.2f}")
    flat = sum(row[-1] <= TOLD * row[0] for row in growing.values())
    print(f"{flat} of {len(growing)} pages cost at most {TOLD} times as much")


if __name__ == "__main__":
    main()
