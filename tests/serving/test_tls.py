"""https: who is believed for which names, that waitress learns who asks, silent guests, and the end."""

from __future__ import annotations

import http.client
import os
import socket
import ssl
import subprocess
import sys
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from cryptography import x509

from tests.benchmarks.running import wait_for
from tests.ports import own_port
from tests.serving.test_server import stopped_amid
from trainer.serving import certificates
from trainer.serving.certificates import AUTHORITY, AUTHORITY_KEY, FOLDER, OWN, OWN_KEY

HERE = "127.0.0.1"
SERVER = """
import sys, time
from datetime import UTC, datetime
from pathlib import Path
from trainer.serving.certificates import context
from trainer.serving.server import run_until_stopped
from trainer.serving.tls import TlsServer

def app(environ, start_response):
    if environ["PATH_INFO"] == "/slow":
        print("begun", flush=True)
        time.sleep(1.0)
    said = f"{environ['wsgi.url_scheme']} {environ['REMOTE_ADDR']}".encode()
    start_response("200 OK", [("Content-Type", "text/plain"), ("Content-Length", str(len(said)))])
    return [said]

folder, port, *hosts = sys.argv[1:]
tls = context(Path(folder), hosts, datetime.now(UTC))
run_until_stopped(TlsServer(app, tls, "127.0.0.1", int(port)))
"""


@contextmanager
def running(folder: Path, *hosts: str) -> Iterator[tuple[subprocess.Popen[bytes], int]]:
    """A process that answers by https under these names, and its port."""
    port = own_port(HERE)
    command = [sys.executable, "-c", SERVER, str(folder), str(port), *hosts]
    with subprocess.Popen(command, cwd=Path(__file__).parents[2], stdout=subprocess.PIPE) as process:
        try:
            wait_for(port)
            yield process, port
        finally:
            process.kill()


def trusting(folder: Path) -> ssl.SSLContext:
    """A device that trusts the installation's authority and nobody else."""
    made = ssl.SSLContext(ssl.PROTOCOL_TLS_CLIENT)
    made.load_verify_locations(folder / FOLDER / AUTHORITY)
    return made


def said(port: int, device: ssl.SSLContext, name: str = HERE, path: str = "/", source: str = HERE) -> str:
    """What the server says to a device that asks for it by this name."""
    with (
        socket.create_connection((HERE, port), 10, (source, 0)) as plain,
        device.wrap_socket(plain, server_hostname=name, do_handshake_on_connect=False) as line,
    ):
        line.do_handshake()
        line.sendall(f"GET {path} HTTP/1.0\r\n\r\n".encode())
        answer = b"".join(iter(lambda: line.recv(4096), b""))
    return answer.rpartition(b"\r\n\r\n")[2].decode()


def test_a_device_that_trusts_the_authority_believes_it(tmp_path: Path) -> None:
    """By its address and by localhost, a public name beside them or not; and not where the authority is unknown."""
    with running(tmp_path, HERE, "localhost", "example.org", "192.0.2.7") as (_process, port):
        device = trusting(tmp_path)
        assert said(port, device) == said(port, device, "localhost") == f"https {HERE}"
        with pytest.raises(ssl.SSLCertVerificationError, match="mismatch"):
            said(port, device, "example.org")
        with pytest.raises(ssl.SSLCertVerificationError, match="local issuer"):
            said(port, ssl.create_default_context())


@pytest.mark.parametrize("name", ["example.org", "192.0.2.7", "localhost.example.org"])
def test_the_authority_is_not_believed_about_public_names(
    tmp_path: Path, name: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever steals its key can deceive a device about this network only: the device itself refuses more."""
    monkeypatch.setattr(certificates, "_is_private", lambda _host: True)
    tls = certificates.context(tmp_path, [name], datetime.now(UTC))
    there, back = ssl.MemoryBIO(), ssl.MemoryBIO()
    server = tls.wrap_bio(there, back, server_side=True)
    device = trusting(tmp_path).wrap_bio(back, there, server_hostname=name)
    for side in (device, server):
        with pytest.raises(ssl.SSLWantReadError):
            side.do_handshake()
    with pytest.raises(ssl.SSLCertVerificationError, match="permitted subtree"):
        device.do_handshake()


def test_the_server_behind_it_knows_who_asks(tmp_path: Path) -> None:
    """Each device is counted for itself at the door, although waitress hears all of them from this machine."""
    with running(tmp_path, HERE) as (_process, port):
        assert said(port, trusting(tmp_path), source="127.0.0.9") == "https 127.0.0.9"


def test_silent_guests_keep_nobody_out(tmp_path: Path) -> None:
    """Two hundred that never begin to speak TLS, and one that does."""
    with running(tmp_path, HERE) as (_process, port), ExitStack() as silent:
        for _ in range(200):
            silent.enter_context(socket.create_connection((HERE, port), 10))
        assert said(port, trusting(tmp_path)) == f"https {HERE}"


def test_one_line_takes_several_requests(tmp_path: Path) -> None:
    """As browsers ask, one after the other over one connection."""
    with (
        running(tmp_path, HERE) as (_process, port),
        closing(http.client.HTTPSConnection(HERE, port, timeout=10, context=trusting(tmp_path))) as line,
    ):
        for _ in range(3):
            line.request("GET", "/")
            assert line.getresponse().read() == f"https {HERE}".encode()


@pytest.mark.skipif(os.name == "nt", reason="Windows has no SIGTERM to send")
def test_request_under_way_is_answered_before_the_end(tmp_path: Path) -> None:
    """SIGTERM during a slow request: the request is answered, then the server ends without an error."""
    with (
        running(tmp_path, HERE) as (process, port),
        socket.create_connection((HERE, port), 10) as plain,
        trusting(tmp_path).wrap_socket(plain, server_hostname=HERE) as line,
    ):
        assert stopped_amid(process, line).endswith(f"https {HERE}".encode())
        assert process.wait(timeout=10) == 0


def test_the_authority_stays_and_keys_are_for_their_owner_only(tmp_path: Path) -> None:
    """A device trusts once; the certificate is fresh at each start, and an authority near its end is made anew."""
    now = datetime(2026, 11, 25, tzinfo=UTC)
    certificates.context(tmp_path, [HERE], now)
    first, own = certificates.fingerprint(tmp_path), (tmp_path / FOLDER / OWN).read_bytes()
    certificates.context(tmp_path, [HERE], now + timedelta(days=300))
    assert certificates.fingerprint(tmp_path) == first
    assert (tmp_path / FOLDER / OWN).read_bytes() != own
    certificates.context(tmp_path, [HERE], now + timedelta(days=3640))
    assert certificates.fingerprint(tmp_path) != first
    if os.name != "nt":
        for name in (AUTHORITY_KEY, OWN_KEY):
            assert (tmp_path / FOLDER / name).stat().st_mode & 0o077 == 0


@pytest.mark.parametrize("spoilt", [AUTHORITY, AUTHORITY_KEY])
def test_an_authority_that_does_not_fit_its_key_is_made_anew(tmp_path: Path, spoilt: str) -> None:
    """A start that was cut off between the two files, or a file that is none, shuts nobody out for good."""
    now = datetime(2026, 11, 25, tzinfo=UTC)
    for place in ("here", "there"):
        (tmp_path / place).mkdir()
        certificates.context(tmp_path / place, [HERE], now)
    for content in ((tmp_path / "there" / FOLDER / spoilt).read_bytes(), b"nothing"):
        (tmp_path / "here" / FOLDER / spoilt).write_bytes(content)
        certificates.context(tmp_path / "here", [HERE], now)
        held = x509.load_pem_x509_certificate((tmp_path / "here" / FOLDER / AUTHORITY).read_bytes())
        own = x509.load_pem_x509_certificate((tmp_path / "here" / FOLDER / OWN).read_bytes())
        own.verify_directly_issued_by(held)
