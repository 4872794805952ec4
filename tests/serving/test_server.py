"""The server: its port, its manners with silent guests, its end."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from waitress import create_server

from tests.ports import own_port
from trainer.errors import Conflict, Refused
from trainer.serving.reading import Channel, read_by_length
from trainer.serving.server import MOST_HEAD_BYTES, check_port, next_free, try_port

SERVER = """
import sys, time
from trainer.serving.server import make_server, run_until_stopped

def app(environ, start_response):
    if environ["PATH_INFO"] == "/slow":
        print("begun", flush=True)
        time.sleep(1.0)
    start_response("200 OK", [("Content-Type", "text/plain"), ("Content-Length", "2")])
    return [b"ok"]

run_until_stopped(make_server(app, "127.0.0.1", int(sys.argv[1])))
"""


@contextmanager
def taken_port() -> Iterator[int]:
    """A port of this machine on which somebody else listens."""
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen(1)
        yield other.getsockname()[1]


@contextmanager
def running_server() -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """A server process that answers, and its port."""
    port = own_port()
    command = [sys.executable, "-c", SERVER, str(port)]
    with subprocess.Popen(command, cwd=Path(__file__).parents[2], stdout=subprocess.PIPE) as process:
        try:
            for _ in range(100):
                try:
                    ask(port, "/")
                    break
                except OSError:
                    time.sleep(0.1)
            yield process, port
        finally:
            process.kill()


def ask(port: int, path: str) -> bytes:
    """One request; the body of the answer."""
    with urllib.request.urlopen(f"http://127.0.0.1:{port}{path}", timeout=10) as answer:
        body: bytes = answer.read()
        return body


def test_trying_a_port_lets_nobody_in(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever knocks in the instant in which a port is tried is refused, and not let in to be thrown out again."""
    port, close, let_in = (
        own_port(),
        socket.socket.close,
        list[bool](),
    )

    def knocked_at(one: socket.socket) -> None:
        if one.getsockname()[1] == port:
            with socket.socket() as guest:
                let_in.append(guest.connect_ex(("127.0.0.1", port)) == 0)
        close(one)

    monkeypatch.setattr(socket.socket, "close", knocked_at)
    assert try_port("127.0.0.1", port) is None
    assert let_in == [False]


def test_taken_port_is_named_with_the_next_free_one() -> None:
    """The sentence about a taken port offers a port that can be listened on."""
    with taken_port() as port, pytest.raises(Conflict) as refusal:
        check_port("127.0.0.1", port)
    offered = int(str(refusal.value).rsplit("--port ", 1)[1].rstrip("."))
    assert str(port) in str(refusal.value)
    assert offered != port
    assert try_port("127.0.0.1", offered) is None


@pytest.mark.parametrize("host", ["203.0.113.9", "no such host", "a" * 300, "..", "xn--\udcff"])
def test_strange_address_gets_a_sentence(host: str) -> None:
    """An address this machine does not have is refused with what to do instead."""
    with pytest.raises(Refused, match="no address"):
        check_port(host, 8000)


def test_free_port_passes() -> None:
    """Nothing is said about a port that is free."""
    check_port("127.0.0.1", own_port())


def test_search_for_a_free_port_ends_at_the_last_port() -> None:
    """Past the last port there is, the system is asked for any."""
    assert next_free("127.0.0.1", 65536) == 0


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGTERM to send")
def test_request_under_way_is_answered_before_the_end() -> None:
    """SIGTERM during a slow request: the request is answered, then the server ends without an error."""
    with (
        running_server() as (process, port),
        socket.create_connection(("127.0.0.1", port), timeout=10) as guest,
    ):
        assert stopped_amid(process, guest).endswith(b"ok")
        assert process.wait(timeout=10) == 0


def stopped_amid(process: subprocess.Popen[bytes], guest: socket.socket) -> bytes:
    """What a guest still gets who has asked for something slow when the server is told to stop."""
    guest.sendall(b"GET /slow HTTP/1.0\r\n\r\n")
    assert process.stdout is not None
    assert process.stdout.readline().strip() == b"begun"
    process.send_signal(signal.SIGTERM)
    return b"".join(iter(lambda: guest.recv(4096), b""))


def test_silent_guests_keep_nobody_out() -> None:
    """With 150 connections that say nothing, half of them in mid-request, a new guest is answered at once."""
    with running_server() as (_, port):
        guests = [socket.create_connection(("127.0.0.1", port), timeout=5) for _ in range(150)]
        for guest in guests[::2]:
            guest.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 50\r\n\r\nhalf")
        begun = time.monotonic()
        assert ask(port, "/") == b"ok"
        assert time.monotonic() - begun < 1.0
        for guest in guests:
            guest.close()


def test_server_does_not_say_what_it_is() -> None:
    """No header tells a stranger which server program this is."""
    with (
        running_server() as (_, port),
        urllib.request.urlopen(f"http://127.0.0.1:{port}/", timeout=10) as answer,
    ):
        assert answer.headers["Server"] is None


def test_body_past_the_limit_is_refused() -> None:
    """A body of more than 30 MB is refused before the pages see it."""
    with running_server() as (_, port), socket.create_connection(("127.0.0.1", port), timeout=10) as guest:
        guest.sendall(b"POST / HTTP/1.1\r\nHost: x\r\nContent-Length: 40000000\r\n\r\n")
        assert b" 413 " in guest.recv(4096).split(b"\r\n")[0]


@pytest.mark.parametrize(
    ("head", "status"),
    [
        (b"POST / HTTP/1.1\r\nTransfer-Encoding: chunked\r\n\r\n2\r\nab\r\n0\r\n\r\n", 501),
        (b"POST / HTTP/1.1\r\nContent-Length: 2\r\nTransfer-Encoding: chunked\r\n\r\n0\r\n\r\n", 501),
        (b"POST / HTTP/1.1\r\nContent-Length: " + b"9" * 5000 + b"\r\n\r\n", 400),
        (b"GET / HTTP/1.1\r\nAccept-Language: ".ljust(MOST_HEAD_BYTES - 4, b"e") + b"\r\n\r\n", 431),
        (b"GET / HTTP/1.1\r\nCookie: " + b"a" * 16_000 + b"\r\n\r\n", 200),
    ],
)
def test_what_no_browser_sends_is_not_read(head: bytes, status: int) -> None:
    """A body in chunks, a length without end and a long head are refused before they cost anything, and the line is shut."""
    with running_server() as (_, port), socket.create_connection(("127.0.0.1", port), timeout=10) as guest:
        guest.sendall(head)
        guest.shutdown(socket.SHUT_WR)
        answers = b"".join(iter(lambda: guest.recv(4096), b""))
    assert [int(line.split()[1]) for line in answers.split(b"\r\n") if line.startswith(b"HTTP/")] == [status]


def test_every_address_is_read_alike() -> None:
    """A name that stands for two addresses has two listeners, and both refuse chunks."""
    server = create_server(lambda _environ, _start: [], listen="127.0.0.1:0 127.0.0.1:0")
    read_by_length(server)
    try:
        assert {getattr(one, "channel_class", Channel) for one in server.map.values()} == {Channel}
        assert len(server.effective_listen) == 2
    finally:
        server.close()


def test_a_body_that_is_too_large_for_the_pages_reaches_them() -> None:
    """A scan of 12 MB is not cut off on its way: the browser shows the sentence of the pages, not a broken line."""
    with running_server() as (_, port):
        sent = urllib.request.Request(f"http://127.0.0.1:{port}/", data=b"x" * 12_000_000)
        with urllib.request.urlopen(sent, timeout=60) as answer:
            assert answer.read() == b"ok"
