"""The private map of a specimen: what is known to be in it, where, and what must never be missed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import asdict, dataclass
from decimal import Decimal, InvalidOperation
from typing import Any

from trainer.bank.specimen import FARTHEST, MOST_KIND, MOST_KNOWN
from trainer.errors import Refused
from trainer.languages import N_, _

MUST = "must"
"""The last word of a line: missing this one fails the practical."""
FORM = N_(
    "kind; from the left edge; from the lower edge; length, all in mm; and the word must where it must be found"
)


@dataclass(frozen=True, slots=True)
class Known:
    """One known discontinuity or planted fault. Places and length in mm, as text of plain decimals."""

    kind: str
    x: str
    y: str
    length: str
    must: bool = False

    def as_data(self) -> dict[str, Any]:
        """Return plain data to keep."""
        return asdict(self)

    @classmethod
    def of_data(cls, data: Mapping[str, Any]) -> Known:
        """Read what ``as_data`` gave."""
        return cls(**data)


def read_map(text: str) -> tuple[Known, ...]:
    """Read a map, one line for each known discontinuity. Raises Refused with the line's number."""
    lines = [line.strip() for line in text[:4000].splitlines() if line.strip()]
    if not lines:
        raise Refused(_("The map is empty. Write one line for each known discontinuity."))
    if len(lines) > MOST_KNOWN:
        raise Refused(
            _(
                "The map has %(lines)s lines; a specimen holds at most %(most_known)s.",
                lines=len(lines),
                most_known=MOST_KNOWN,
            )
        )
    return tuple(_known(number, line) for number, line in enumerate(lines, 1))


def write_map(known: Iterable[Known]) -> str:
    """Write a map as ``read_map`` reads it."""
    return "\n".join(
        "; ".join((one.kind, one.x, one.y, one.length, *([MUST] if one.must else []))) for one in known
    )


def _known(number: int, line: str) -> Known:
    bits = [bit.strip() for bit in line.split(";")]
    must = bits[-1].casefold() == MUST
    if must:
        bits.pop()
    if len(bits) != 4 or not bits[0] or len(bits[0]) > MOST_KIND or not bits[0].isprintable():
        raise Refused(
            _(
                "Line %(number)s of the map: write %(form)s, with semicolons between.",
                number=number,
                form=_(FORM),
            )
        )
    x, y, length = (_millimetres(number, bit) for bit in bits[1:])
    return Known(bits[0], x, y, length, must)


def _millimetres(number: int, text: str) -> str:
    try:
        value = Decimal(text.replace(",", ".")) if text.isascii() and len(text) <= 12 else None
    except InvalidOperation:
        value = None
    if value is None or not value.is_finite() or not 0 <= value <= FARTHEST:
        raise Refused(
            _(
                "Line %(number)s of the map: '%(text)s' is no length in mm. Write it like 12.5.",
                number=number,
                text=text[:20],
            )
        )
    return format(value, "f")
