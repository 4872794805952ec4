"""The limit gauge: a bar that must reach a line. And the reading mark, right and wrong in one small scale."""

from __future__ import annotations

import math
from datetime import date

from trainer.drawing.measures.plate import Plate
from trainer.drawing.measures.words import READER, Words
from trainer.drawing.text import coordinate as n
from trainer.languages.numerals import as_read

WIDE, HIGH = 132.0, 22.0
LINE = 100.0
"""Where the line stands: what is needed."""

MOST = 1.22
"""The share at which a bar is cut open, since it goes on beyond the drawing."""


def gauge(
    have: float,
    need: float,
    name: str,
    *,
    fid: str = "gauge",
    expired: bool = False,
    has: str = "",
    needs: str = "",
    words: Words = READER,
) -> str:
    """What is held against what is needed, in the same unit. ``has`` and ``needs`` are the texts for the title."""
    share = have / need if need > 0 else (1.0 if have >= 0 else 0.0)
    met = share >= 1 and not expired
    says = words.expired if expired else words.met if met else words.not_met
    return _bar(
        fid,
        share,
        expired,
        says.format(name=name, have=has or as_read(f"{have:g}"), need=needs or as_read(f"{need:g}")),
    )


def dates_gauge(
    done: date,
    until: date,
    on: date,
    name: str,
    *,
    fid: str = "gauge",
    has: str = "",
    needs: str = "",
    words: Words = READER,
) -> str:
    """The life of something done on a day and good until another, against how much of it is gone on ``on``.

    The bar is (until - done) / (on - done): it reaches the line as long as the day has not passed.
    """
    gone, life = (on - done).days, (until - done).days
    share = life / gone if gone > 0 else math.inf
    expired = on > until
    says = words.expired if expired else words.met
    return _bar(fid, share, expired, says.format(name=name, have=has or str(done), need=needs or str(until)))


def _bar(fid: str, share: float, expired: bool, title: str) -> str:
    plate = Plate(fid, WIDE, HIGH, cls="gauge")
    plate.line(0, 17.5, WIDE, 17.5, "fine")
    end = max(0.0, min(share, MOST)) * LINE
    # A share a hair under 1 must not look as if it reached.
    if share < 1:
        end = min(end, LINE - 2)
    if end > 1:
        plate.rect(0.75, 6.5, end - 0.75, 8, "bar gone" if expired else "bar" if share >= 1 else "bar short")
    plate.line(LINE, 1, LINE, 21, "limit")
    if share > MOST:
        left = n(end - 13)
        plate.path(f"M{left} 18l4 -15h5l-4 15z", "cutout")
        plate.path(f"M{left} 18l4 -15m5 0l-4 15", "cut-edge")
    return plate.brief(title)


def mark(right: bool, *, fid: str = "mark", words: Words = READER) -> str:
    """The reading mark: a needle in or outside a band, for the word right or wrong beside it."""
    plate = Plate(fid, 84, 24, cls="mark")
    plate.line(2, 18, 82, 18, "edge")
    plate.rect(36, 9, 26, 9, "band")
    plate.path(f"M{49 if right else 16} 17l-4.5 -13h9z", "mark-needle")
    return plate.brief(words.right if right else words.wrong)
