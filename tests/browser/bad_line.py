"""A line between a browser and the server that is slow, and that loses the requests it is told to lose."""

from __future__ import annotations

import socket
import threading
import time
from contextlib import closing, suppress
from dataclasses import dataclass, field

PIECE = 1024


@dataclass
class BadLine:
    """Listens on a port of its own and carries to ``port``: ``rate`` bytes a second, ``delay`` seconds each way.

    ``before``: so many of the next posted requests never arrive. ``after``: so many after those arrive, but their
    replies are lost. Each is one connection: the browser is told nothing but that the line broke.
    """

    port: int
    rate: int = 6250  # 50 kbit/s
    delay: float = 0.2
    before: int = 0
    after: int = 0
    arrived: list[str] = field(default_factory=list)
    _door: socket.socket = field(default_factory=lambda: socket.create_server(("127.0.0.1", 0)))

    @property
    def url(self) -> str:
        """The address that a browser asks."""
        return f"http://127.0.0.1:{self._door.getsockname()[1]}"

    def open(self) -> BadLine:
        """Begin to carry."""
        threading.Thread(target=self._listen, daemon=True).start()
        return self

    def close(self) -> None:
        """Nobody answers at this address any more."""
        with suppress(OSError):
            self._door.shutdown(socket.SHUT_RDWR)
        self._door.close()

    def _listen(self) -> None:
        with suppress(OSError):
            while True:
                browser, _ = self._door.accept()
                threading.Thread(target=self._carry, args=(browser,), daemon=True).start()

    def _carry(self, browser: socket.socket) -> None:
        """Carry one request and its reply; then the connection is over, so that each request is one of its own."""
        with closing(browser), suppress(OSError):
            request = _whole(browser)
            posted = request.startswith(b"POST")
            time.sleep(self.delay)
            if posted and self.before:
                self.before -= 1
                return
            with closing(socket.create_connection(("127.0.0.1", self.port))) as server:
                server.sendall(request)
                if posted:
                    self.arrived.append(request.split(b" ", 2)[1].decode())
                self._reply(server, browser, lost=posted and self.after > 0)

    def _reply(self, server: socket.socket, browser: socket.socket, lost: bool) -> None:
        if lost:
            self.after -= 1
        time.sleep(self.delay)
        while piece := server.recv(PIECE):
            if not lost:
                browser.sendall(piece)
                time.sleep(len(piece) / self.rate)


def _whole(browser: socket.socket) -> bytes:
    """One request with its body, asked to be the last of its connection."""
    held = b""
    while b"\r\n\r\n" not in held:
        held += _more(browser)
    head, _, body = held.partition(b"\r\n\r\n")
    lines = [one for one in head.split(b"\r\n") if not one.lower().startswith(b"connection:")]
    length = next((int(one.split(b":")[1]) for one in lines if one.lower().startswith(b"content-length:")), 0)
    while len(body) < length:
        body += _more(browser)
    return b"\r\n".join([*lines, b"Connection: close"]) + b"\r\n\r\n" + body


def _more(browser: socket.socket) -> bytes:
    piece = browser.recv(65536)
    if not piece:
        raise ConnectionError("the browser let go")
    return piece
