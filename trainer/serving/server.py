"""The server under the pages: waitress, set up for a classroom with a bad network.

The figures were measured against half-sent requests and many idle phones: 100 connections, the
server's own default, are used up by 30 browsers; 500 idle ones still leave it answering at once.
Windows allows 512 sockets to one process, so 500 is also the most.
"""

from __future__ import annotations

import signal
import socket
import sys
from types import FrameType
from typing import TYPE_CHECKING, Any

from trainer.errors import Conflict, Refused

if TYPE_CHECKING:
    from _typeshed.wsgi import WSGIApplication

THREADS = 8
CONNECTIONS = 500
SILENT_SECONDS = 60
MOST_HEAD_BYTES = 32 * 1024  # a browser sends two; every word of a long list of languages is looked at
MOST_BODY_BYTES = 30 * 1024 * 1024  # more than the pages take: what is a little too large gets their sentence
PORTS_TRIED = 50


def make_server(app: WSGIApplication, host: str, port: int, scheme: str = "http") -> Any:
    """Listen on an address and give the server, ready for `run_until_stopped`.

    Raises Conflict when the port is taken, Refused when this machine has no such address.
    """
    from waitress import create_server

    from trainer.serving.reading import read_by_length

    check_port(host, port)
    server = create_server(
        app,
        host=host,
        port=port,
        threads=THREADS,
        connection_limit=CONNECTIONS,
        channel_timeout=SILENT_SECONDS,
        max_request_body_size=MOST_BODY_BYTES,
        max_request_header_size=MOST_HEAD_BYTES,
        ident=None,
        url_scheme=scheme,
    )
    read_by_length(server)
    return server


def run_until_stopped(server: Any) -> None:
    """Serve until Ctrl-C or SIGTERM; requests under way are answered before the end."""
    signal.signal(signal.SIGTERM, _leave)
    server.run()


def _leave(number: int, frame: FrameType | None) -> None:
    raise SystemExit(0)  # waitress takes this as the sign to finish what it is at


def check_port(host: str, port: int) -> None:
    """Raise Conflict, naming the next free port, when a port is taken; Refused for a strange address."""
    problem = try_port(host, port)
    if problem is None:
        return
    if isinstance(problem, PermissionError) and port < 1024:
        raise Refused(
            f"Ports below 1024 belong to the system's administrator. Use --port {next_free(host, 8000)}."
        )
    if isinstance(problem, socket.gaierror) or not can_listen(host):
        raise Refused(
            f"This machine has no address '{host[:60]}'. Use --lan to see the addresses it has, "
            "or leave --host away to serve this machine only."
        )
    raise Conflict(
        f"Port {port} is taken, perhaps by a trainer that is already running. "
        f"Use that one, or start this one with --port {next_free(host, port + 1)}."
    )


def try_port(host: str, port: int) -> OSError | None:
    """Take a port for an instant; give what the system said against it, None if nothing.

    Nobody is listened to: who knocked in that instant would be let in and thrown out again.
    """
    try:
        family, kind, protocol, _, address = socket.getaddrinfo(
            host, port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )[0]
        with socket.socket(family, kind, protocol) as trial:
            if sys.platform == "win32":  # there, "reuse" would let two servers share a port
                trial.setsockopt(socket.SOL_SOCKET, socket.SO_EXCLUSIVEADDRUSE, 1)
            else:
                trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
            trial.bind(address)
    except (OSError, UnicodeError) as problem:
        return problem if isinstance(problem, OSError) else socket.gaierror(str(problem))
    return None


def can_listen(host: str) -> bool:
    """Whether the address is one of this machine's: the system finds some port for it."""
    return try_port(host, 0) is None


def next_free(host: str, first: int) -> int:
    """The first free port from a number on, among the next fifty; 0 asks the system for any."""
    for port in range(first, min(first + PORTS_TRIED, 65536)):
        if try_port(host, port) is None:
            return port
    return 0
