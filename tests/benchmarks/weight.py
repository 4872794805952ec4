"""Bytes on the wire, headers too, of a first visit to an exercise and of the pages after it. Run by hand:

python -m tests.benchmarks.weight

A first visit is the page with everything it names (style sheets, modules, the mathematics font where it has
formulas); afterwards only pages travel, since a browser keeps the rest under its stamped address. What a
browser asks again in spite of that is counted as asked again.
"""

from __future__ import annotations

import gzip
import re
import socket
from pathlib import Path
from tempfile import TemporaryDirectory
from urllib.parse import urljoin

from tests.benchmarks.running import Guest, filled, offered, trainer_running
from trainer.web.access import COOKIE

NAMED = re.compile(r"""(?:href|src)="(/static/[^"]+)"|url\(["']?([^"')]+\.woff2)["']?\)""")


def fetched(port: int, address: str, sign_in: str) -> tuple[int, str, bool]:
    """Bytes received for an address, its text, and whether a browser may keep it without asking again."""
    request = (
        f"GET {address} HTTP/1.1\r\nHost: 127.0.0.1:{port}\r\nCookie: {COOKIE}={sign_in}\r\n"
        "Accept-Encoding: gzip, deflate, br\r\nConnection: close\r\n\r\n"
    )
    with socket.create_connection(("127.0.0.1", port)) as wire:
        wire.sendall(request.encode())
        received = b"".join(iter(lambda: wire.recv(65536), b""))
    head, _, body = received.partition(b"\r\n\r\n")
    assert b" 200 " in head.splitlines()[0], (address, head)
    text = gzip.decompress(body) if b"gzip" in head.lower() else body
    return len(received), text.decode("utf-8", "replace"), b"immutable" in head


def named_in(text: str, address: str) -> set[str]:
    """The addresses of everything that a page or a style sheet at an address names."""
    return {urljoin(address, one or other) for one, other in NAMED.findall(text)}


def files_of(port: int, page: str, sign_in: str) -> dict[str, tuple[int, bool]]:
    """Bytes and keeping of every file that a page loads; the font only where there are formulas."""
    found = {}
    for address in named_in(page, "/"):
        size, text, kept = fetched(port, address, sign_in)
        found[address] = (size, kept)
        for font in named_in(text, address) if "<math" in page and ".css" in address else ():
            found[font] = fetched(port, font, sign_in)[::2]
    return found


def main() -> None:
    """Print the weight of the first visit, of each page after it, and of the files."""
    with TemporaryDirectory() as folder:
        instance = filled(Path(folder) / "instance")
        sign_in, waiting = offered(instance, 2)
        with trainer_running(instance) as (port, _):
            tess = Guest(port, sign_in)
            tess.enter(waiting[0])
            tess.send(waiting[0], answer="1500 A")
            size, page, _ = fetched(port, waiting[1], sign_in)
            verdict_size, verdict, _ = fetched(port, f"{waiting[0]}/verdict", sign_in)
            home_size, _, _ = fetched(port, "/trainee/", sign_in)
            files = files_of(port, page + verdict, sign_in)
    for address, (weight, kept) in sorted(files.items()):
        print(f"{weight:7,d}  {address}{'' if kept else '  (asked for again)'}")
    print(f"first visit, exercise page with every file: {size + sum(w for w, _ in files.values()):,d} bytes")
    for name, weight in (("exercise", size), ("verdict", verdict_size), ("home", home_size)):
        print(f"{name} page afterwards: {weight:,d} bytes")


if __name__ == "__main__":
    main()
