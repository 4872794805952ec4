"""https in front of the server: TLS ends here, and what is in it goes on to waitress on this machine alone.

The standard library does the TLS. Handshakes that are not finished and guests that stay silent keep nobody else out,
since each costs a task and no thread.
"""

from __future__ import annotations

import asyncio
import ssl
import threading
from collections.abc import Iterable
from contextlib import suppress
from typing import TYPE_CHECKING, Any

from trainer.serving.server import check_port, make_server

if TYPE_CHECKING:
    from _typeshed.wsgi import StartResponse, WSGIApplication, WSGIEnvironment

INSIDE = "127.0.0.1"
HANDSHAKE_SECONDS = 10
LAST_SECONDS = 5  # for answers under way when the trainer is stopped
CHUNK = 64 * 1024
LOST = (ConnectionError, TimeoutError, ssl.SSLError)


class TlsServer:
    """Takes the place of the server of `make_server`: ``run`` answers by https until it is stopped."""

    def __init__(self, app: WSGIApplication, tls: ssl.SSLContext, host: str, port: int) -> None:
        """Get ready to listen. Raises Conflict and Refused as `make_server` does."""
        check_port(host, port)
        self._tls, self._place = tls, (host, port)
        self._guests: dict[str, str] = {}  # address of a guest by the port that their words go on from
        self._server: Any = make_server(_for_guests(app, self._guests), INSIDE, 0, scheme="https")
        self._talks: set[asyncio.Task[None]] = set()

    def run(self) -> None:
        """Answer until SystemExit; answers under way are given before the end."""
        loop = asyncio.new_event_loop()
        listener = loop.run_until_complete(
            asyncio.start_server(
                self._meet, *self._place, ssl=self._tls, ssl_handshake_timeout=HANDSHAKE_SECONDS, limit=CHUNK
            )
        )
        thread = threading.Thread(target=loop.run_forever, name="tls", daemon=True)
        thread.start()
        try:
            self._server.run()
        finally:
            asyncio.run_coroutine_threadsafe(self._end(listener), loop).result(2 * LAST_SECONDS)
            loop.call_soon_threadsafe(loop.stop)
            thread.join(LAST_SECONDS)

    async def _meet(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        task = asyncio.current_task()
        assert task is not None
        self._talks.add(task)
        task.add_done_callback(self._talks.discard)
        inner_reader, inner_writer = await asyncio.open_connection(
            INSIDE, self._server.effective_port, limit=CHUNK
        )
        place = str(inner_writer.get_extra_info("sockname")[1])
        self._guests[place] = writer.get_extra_info("peername")[0]
        try:
            await asyncio.gather(_pass_on(reader, inner_writer), _pass_on(inner_reader, writer))
        finally:
            del self._guests[place]

    async def _end(self, listener: asyncio.Server) -> None:
        """What waitress has answered still goes out; then nobody is connected any more."""
        listener.close()
        for channel in [*self._server.active_channels.values()]:
            channel.close()
        if self._talks:
            await asyncio.wait(self._talks, timeout=LAST_SECONDS)


async def _pass_on(source: asyncio.StreamReader, sink: asyncio.StreamWriter) -> None:
    """Everything from one side to the other, until one of them has no more to say."""
    with suppress(*LOST):
        while chunk := await source.read(CHUNK):
            sink.write(chunk)
            await sink.drain()
    sink.close()
    with suppress(*LOST):
        await sink.wait_closed()


def _for_guests(app: WSGIApplication, guests: dict[str, str]) -> WSGIApplication:
    """The application, told who asks: to waitress everybody is this machine."""

    def asked(environ: WSGIEnvironment, start: StartResponse) -> Iterable[bytes]:
        environ["REMOTE_ADDR"] = guests.get(environ.get("REMOTE_PORT", ""), environ.get("REMOTE_ADDR", ""))
        return app(environ, start)

    return asked
