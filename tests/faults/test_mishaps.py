"""Mishaps of a running trainer: a disk without room, a second one beside it, a wrong clock, a spoilt bank."""

from __future__ import annotations

import shutil
import sys
from datetime import timedelta
from pathlib import Path

import pytest

from tests.conftest import Browser
from tests.faults.classroom import Running, fill, look, opened
from tests.faults.killing import DRILL, Trainee
from tests.make import NOW, Clock, People, make_token
from tests.web.test_practice import begin, key_of
from trainer.drills.shelf import Shelf
from trainer.errors import FaultyFiles
from trainer.services.practising import skills
from trainer.services.proving import ledger_check
from trainer.serving.server import next_free
from trainer.store import Database
from trainer.web.access import COOKIE

SMALL_BANK = Path(__file__).parents[1] / "small_bank"
slow = pytest.mark.slow


@slow
@pytest.mark.skipif(sys.platform != "linux", reason="needs limits of another process")
def test_a_disk_without_room(tmp_path: Path) -> None:
    """While nothing more can be written the phone is told to send again; with room again it is kept once."""
    import resource

    instance = tmp_path / "instance"
    one = Trainee(fill(instance, 1)[0])
    running = Running.start(instance)
    phone = running.phone(one.token)
    begun = phone.send("/trainee/practice", DRILL)
    form = {"answer": "4.95 kA", "key": key_of(phone.get(begun.location).page)}
    _, most = resource.prlimit(running.process.pid, resource.RLIMIT_FSIZE)
    resource.prlimit(running.process.pid, resource.RLIMIT_FSIZE, (1, most))
    full = phone.send(begun.location, form)
    resource.prlimit(running.process.pid, resource.RLIMIT_FSIZE, (most, most))
    again = phone.send(begun.location, form)
    phone.hang_up()
    running.stop()
    assert (full.status, "send it again" in full.page, again.status) == (503, True, 303)
    database = opened(instance)
    found = look(database, {form["key"]})
    database.close()
    assert (found.well, found.answers) == (True, 1)


@slow
@pytest.mark.skipif(sys.platform == "win32", reason="needs signals")
def test_two_trainers_on_one_instance(tmp_path: Path) -> None:
    """Somebody starts it twice: answers through both are kept, each once, in one chain."""
    instance = tmp_path / "instance"
    crew = [Trainee(token) for token in fill(instance, 2)]
    first = Running.start(instance)
    second = Running.start(instance, next_free("127.0.0.1", first.port + 1))
    phones = [first.phone(crew[0].token), second.phone(crew[1].token)]
    for _ in range(10):
        for one, phone in zip(crew, phones, strict=True):
            one.one(phone)
    for running, phone in zip((first, second), phones, strict=True):
        phone.hang_up()
        running.stop()
    database = opened(instance)
    found = look(database, {key for one in crew for key in one.acknowledged})
    database.close()
    assert (found.well, found.answers) == (True, 20)


@pytest.mark.parametrize("days", [-400, -2, 2, 400])
def test_a_clock_that_jumps(
    days: int, clock: Clock, people: People, store: Database, nobody: Browser
) -> None:
    """Set back or forward between two answers, the trainer goes on; chain and skills still agree."""
    for now in (NOW, NOW + timedelta(days=days)):
        clock.now = now
        with store.writing() as session:
            nobody.set_cookie(COOKIE, make_token(session, people.tess, now))
        number = begin(nobody, drill=DRILL["drill"], find="I")
        page = nobody.get(f"/trainee/practice/{number}").get_data(as_text=True)
        reply = nobody.send(f"/trainee/practice/{number}", {"answer": "1 kA", "key": key_of(page)})
        assert reply.status_code == 303
        assert nobody.get("/trainee/").status_code == 200
    with store.reading() as session:
        assert ledger_check.walk(session).broken is None
        assert skills.disagreements(session) == []


def test_a_bank_that_is_spoilt_while_running(tmp_path: Path) -> None:
    """The running trainer asks on from what it has read; the next start names file and line."""
    bank = tmp_path / "bank"
    shutil.copytree(SMALL_BANK, bank)
    shelf = Shelf.of_folder(bank)
    file = bank / "drills" / "coil" / "coil-low-fill-wall.yaml"
    file.write_text(file.read_text(encoding="utf-8")[:700], encoding="utf-8")
    assert shelf.draw("coil-low-fill-wall", 3, "I").answer > 0
    with pytest.raises(FaultyFiles) as found:
        Shelf.of_folder(bank)
    assert "coil-low-fill-wall.yaml" in str(found.value.faults[0])
