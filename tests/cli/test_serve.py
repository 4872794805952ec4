"""`trainer serve`: the first run, the addresses it says, and what it refuses."""

from __future__ import annotations

import re
import socket
import ssl
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner
from flask import Flask

from tests.make import NOW, make_people
from tests.ports import own_port
from trainer.cli import serve, trainer
from trainer.errors import Refused
from trainer.serving import certificates
from trainer.serving.addresses import Address
from trainer.settings import Settings
from trainer.store import Database

HOUSE = Path(__file__).parents[2]
LAN = (Address("192.168.4.1", "wlan0"), Address("10.1.1.5", "eth0"))


@contextmanager
def serving(instance: Path, *arguments: str) -> Iterator[tuple[int, list[str]]]:
    """A running `trainer serve`: its port, and what it said (complete after the end)."""
    port = own_port()
    command = [sys.executable, "-m", "trainer.cli", "--instance", str(instance), "serve", "--port", str(port)]
    said: list[str] = []
    with subprocess.Popen(
        [*command, *arguments],
        cwd=HOUSE,
        stdout=subprocess.PIPE,
        stderr=subprocess.STDOUT,
        encoding="utf-8",
    ) as server:
        try:
            wait_for(port, server)
            yield port, said
        finally:
            server.terminate()
            said.extend(server.communicate(timeout=20)[0].splitlines())


def wait_for(port: int, server: subprocess.Popen[str]) -> None:
    """Come back as soon as somebody listens on the port."""
    for _ in range(150):
        if server.poll() is not None:
            return
        with socket.socket() as knock:
            if knock.connect_ex(("127.0.0.1", port)) == 0:
                return
        time.sleep(0.1)


def page(port: int, path: str = "/", host: str = "") -> tuple[int, str]:
    """Status and text of a page."""
    request = urllib.request.Request(f"http://127.0.0.1:{port}{path}", headers={"Host": host} if host else {})
    try:
        with urllib.request.urlopen(request, timeout=10) as answer:
            return answer.status, answer.read().decode()
    except urllib.error.HTTPError as refusal:
        with refusal:
            return refusal.code, refusal.read().decode()


def test_first_run_makes_everything_and_prints_one_link(tmp_path: Path) -> None:
    """The first run makes settings, key and records, and its one link leads to the first account."""
    with serving(tmp_path / "instance") as (port, said):
        assert page(port)[0] == 200
        made = {path.name for path in (tmp_path / "instance").iterdir()}
    links = re.findall(r"http://\S+/first/\S+", "\n".join(said))
    assert {"signing.key", "trainer.toml", "trainer.sqlite"} <= made
    assert len(links) == 1
    with serving(tmp_path / "instance") as (port, said):
        pass
    assert links[0] not in "\n".join(said)


def test_first_link_opens_the_form(tmp_path: Path) -> None:
    """The printed link is the form for the first account; a made-up one is not found."""
    from trainer.cli.serve import announce, application
    from trainer.settings import Settings

    app = application(Settings.load(tmp_path, {}), demo=False)
    with app.test_client() as client:
        lines: list[str] = []
        serve_echo = pytest.MonkeyPatch()
        serve_echo.setattr("click.echo", lines.append)
        try:
            announce(app, "http://127.0.0.1:8000/", demo=False)
        finally:
            serve_echo.undo()
        token = re.findall(r"/first/(\S+)", "\n".join(lines))[0]
        assert client.get(f"/first/{token}").status_code == 200
        assert client.get("/first/made-up").status_code == 404


@pytest.mark.parametrize(("away", "told"), [(timedelta(days=-2), True), (timedelta(0), False)])
def test_a_clock_that_was_set_back_is_told_at_the_start(
    settings: Settings, app: Flask, store: Database, capsys: pytest.CaptureFixture[str],
    monkeypatch: pytest.MonkeyPatch, away: timedelta, told: bool,
) -> None:  # fmt: skip
    """Whoever starts it on a machine whose clock lies before the newest entry reads so at once."""
    with store.writing() as session:
        make_people(session)
    monkeypatch.setattr(serve, "now", lambda: NOW + away)
    serve.announce(app, "http://127.0.0.1:8000/", demo=False)
    said = capsys.readouterr().err
    assert (said.startswith("CAUTION: the clock"), "2026-11-25" in said) == (told, told)


@pytest.mark.parametrize("own_file", [True, False])
def test_the_clock_is_watched_where_it_is_the_only_one(
    app: Flask, store: Database, monkeypatch: pytest.MonkeyPatch, own_file: bool
) -> None:
    """Of several machines on one server each has its clock, and none speaks for the papers of all."""
    watched: list[object] = []
    monkeypatch.setattr("trainer.serving.clock_watch.keep_watch", lambda watch, _over: watched.append(watch))
    monkeypatch.setattr(Database, "is_sqlite", own_file)
    serve.watch_clock(app, threading.Event())
    assert bool(watched) is own_file


def test_a_second_trainer_on_the_same_records_is_told(tmp_path: Path) -> None:
    """It runs beside the first, which is told nothing, and says so."""
    with serving(tmp_path) as (_, first), serving(tmp_path) as (port, second):
        assert page(port)[0] == 200
    assert ["another trainer is running" in "".join(said) for said in (first, second)] == [False, True]


def test_no_link_once_there_is_somebody(tmp_path: Path) -> None:
    """With an account in place nobody else is offered the first one."""
    add = ["person", "add", "--number", "TV-2", "--name", "Ian Beck", "--role", "instructor"]
    CliRunner().invoke(trainer, ["--instance", str(tmp_path), *add, "--organisation", "Tarn Valley"])
    with serving(tmp_path) as (port, said):
        assert page(port)[0] == 200
    assert "/first/" not in "\n".join(said)


def test_only_this_machine_is_served_unless_asked(tmp_path: Path) -> None:
    """Without --lan the server listens on the loopback address, and answers to no other name."""
    with serving(tmp_path) as (port, said):
        assert page(port, host="evil.example")[0] == 400
    assert f"http://127.0.0.1:{port}/" in said[0]
    assert "network" not in "\n".join(said)


def test_taken_port_is_a_sentence(tmp_path: Path) -> None:
    """A second start on a taken port names the next free one and makes nothing."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen(1)
        port = other.getsockname()[1]
        done = CliRunner().invoke(trainer, ["--instance", str(tmp_path / "i"), "serve", "--port", str(port)])
    assert done.exit_code == 1
    assert f"Port {port} is taken" in done.stderr
    assert not (tmp_path / "i").exists()


@pytest.mark.parametrize("port", ["0", "65536", "-1", "eighty"])
def test_port_that_is_none_is_refused(tmp_path: Path, port: str) -> None:
    """Ports go from 1 to 65535."""
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path), "serve", "--port", port])
    assert (done.exit_code, "Invalid value for '--port'" in done.stderr) == (2, True)


def test_instance_that_is_a_file_is_a_sentence(tmp_path: Path) -> None:
    """A file where the folder should be is said, without a trace."""
    (tmp_path / "file").touch()
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path / "file" / "in"), "serve"])
    assert done.exit_code != 0
    assert "cannot be written" in done.stderr
    assert "Traceback" not in done.stderr


def test_an_emptied_database_is_no_first_run(tmp_path: Path) -> None:
    """A start on a file of 0 bytes says how to bring the records back, and offers no first account."""
    (tmp_path / "trainer.sqlite").touch()
    done = CliRunner().invoke(trainer, ["--instance", str(tmp_path), "serve"])
    assert (done.exit_code, done.stdout) == (2, "")
    assert "restore FILE --replace" in done.stderr
    assert (tmp_path / "trainer.sqlite").stat().st_size == 0


def test_backups_without_their_passphrase_stop_the_start(tmp_path: Path) -> None:
    """Nobody works for a day in the belief that backups are made."""
    text = f"backup_folder = {str(tmp_path / 'stick')!r}\nbackup_locked = true\n"
    (tmp_path / "trainer.toml").write_text(text, encoding="utf-8")
    command = [sys.executable, "-m", "trainer.cli", "--instance", str(tmp_path), "serve", "--port"]
    done = subprocess.run(
        [*command, str(own_port())],
        capture_output=True,
        encoding="utf-8",
        timeout=120,
        cwd=HOUSE,
        check=False,
    )
    assert (done.returncode, done.stdout) == (1, "")
    assert "backup.passphrase" in done.stderr


def test_lan_offers_every_private_address(monkeypatch: pytest.MonkeyPatch) -> None:
    """The instructor sees all addresses; each is a name that the pages answer to."""
    monkeypatch.setattr(serve, "lan_addresses", lambda: LAN)
    found = serve.offered(lan=True, host="")
    assert found == LAN
    assert {"192.168.4.1", "10.1.1.5"} <= set(serve.names("0.0.0.0", found))


def test_chosen_address_is_the_one_in_the_code(capsys: pytest.CaptureFixture[str]) -> None:
    """With --host the code carries that address."""
    serve.announce_lan(serve.offered(lan=True, host="10.1.1.5"), 8080)
    said = capsys.readouterr().out
    assert "http://10.1.1.5:8080/" in said
    assert "█" in said


def test_lan_says_what_it_means(capsys: pytest.CaptureFixture[str]) -> None:
    """Who can reach the pages, how safe the connection is, and how to choose another address."""
    serve.announce_lan(LAN, 8000)
    said = " ".join(capsys.readouterr().out.split())
    for words in ("Anybody on this network", "plain http", "a network you trust", "--host ADDRESS"):
        assert words in said


def test_https_says_why_a_browser_warns_and_what_to_compare(tmp_path: Path) -> None:
    """The file to trust and its fingerprint; addresses are those of https, and nothing is called plain."""
    with serving(tmp_path / "instance", "--https") as (port, said):
        device = ssl.create_default_context(cafile=tmp_path / "instance" / "tls" / "authority.pem")
        with urllib.request.urlopen(f"https://localhost:{port}/sign-in", timeout=10, context=device) as page:
            assert page.status == 200
    told = " ".join(said)
    assert f"https://127.0.0.1:{port}/first/" in told
    assert certificates.fingerprint(tmp_path / "instance") in told
    assert "plain http" not in told


def test_encrypted_addresses_of_a_network(capsys: pytest.CaptureFixture[str]) -> None:
    """The text and the code are for https."""
    serve.announce_lan(LAN, 8000, "https")
    said = capsys.readouterr().out
    assert "https://192.168.4.1:8000/" in said
    assert "plain" not in said


def test_lan_without_a_network_is_a_sentence(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine on no private network says what to switch on."""
    monkeypatch.setattr(serve, "lan_addresses", tuple)
    with pytest.raises(Refused, match="on no private network"):
        serve.offered(lan=True, host="")


def test_names_of_an_ipv6_address_are_in_brackets() -> None:
    """Browsers write IPv6 addresses in brackets."""
    assert serve.names("fd00::2", ()) == ("[fd00::2]",)
