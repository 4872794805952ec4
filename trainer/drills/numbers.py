"""The house's own source of numbers for draws: SHA-256 of a text, cut into 32-bit pieces.

It is the same on every machine and Python for ever, which the standard library's generators do not
promise for their distributions. Piece ``i`` is the big-endian 32-bit word ``i % 8`` of
SHA-256(``text|i // 8``); a number below ``n`` is ``(piece * n) >> 32``.
"""

from __future__ import annotations

import struct
from hashlib import sha256


class Numbers:
    """A stream of whole numbers named by a text; equal texts give equal streams."""

    __slots__ = ("_block", "_block_no", "_place", "_text")

    def __init__(self, text: str) -> None:
        self._text = text
        self._block_no = 0
        self._place = 0
        self._block: tuple[int, ...] = _block(text, 0)

    def below(self, n: int) -> int:
        """Return the next number from 0 to n - 1; n at most 2**32."""
        if self._place == 8:
            self._block_no += 1
            self._block = _block(self._text, self._block_no)
            self._place = 0
        piece = self._block[self._place]
        self._place += 1
        return (piece * n) >> 32


def _block(text: str, number: int) -> tuple[int, ...]:
    return struct.unpack(">8I", sha256(f"{text}|{number}".encode()).digest())
