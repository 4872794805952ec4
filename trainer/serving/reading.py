"""How a request is read from the line: as browsers send it, with the length of its body in front.

Waitress takes a body in chunks as well, and reads the words between two chunks anew with each piece of them that
comes: 12 MB of such words keep a processor busy for 20 seconds. No browser sends a form in chunks.
"""

from __future__ import annotations

from typing import Any

from waitress.channel import HTTPChannel
from waitress.parser import HTTPRequestParser, ParsingError, TransferEncodingNotImplemented


class Request(HTTPRequestParser):  # type: ignore[misc]  # waitress has no types
    """One request; its body has a length of a few digits, or there is none."""

    def parse_header(self, header_plus: bytes) -> None:
        """Read the head. Raises what waitress answers with a status: 400 for a strange length, 501 for chunks."""
        try:
            super().parse_header(header_plus)
        except ValueError as fault:  # more digits than Python makes a number of
            raise ParsingError("Content-Length is invalid") from fault
        if self.chunked:
            raise TransferEncodingNotImplemented("Send the body whole, with a Content-Length.")


class Channel(HTTPChannel):  # type: ignore[misc]
    """A guest's line, read by `Request`."""

    parser_class = Request


def read_by_length(server: Any) -> None:
    """Let a server that waitress has made, for one address or several, read what comes by `Request`."""
    for listener in getattr(server, "map", {0: server}).values():
        listener.channel_class = Channel
