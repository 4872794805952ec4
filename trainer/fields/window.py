"""What documents say a field should be: at the surface under test, and where people and instruments are."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from trainer.languages import N_


@dataclass(frozen=True, slots=True)
class Window:
    """From ``low`` to ``high``, A/m at the surface, with the document, its clause and how far it was read."""

    low: float
    high: float
    says: str
    document: str
    status: str


@dataclass(frozen=True, slots=True)
class Limit:
    """A flux density in air, T, and for whom it is the boundary."""

    flux: float
    whom: str
    document: str
    status: str


WINDOWS: Final[dict[str, Window]] = {
    "asme": Window(
        2387.3, 4774.6, N_("30 to 60 G, which is 2.4 to 4.8 kA/m, peak"),
        "ASME BPVC Section V, Article 7, about 2019-2023, T-764.2(c)", "seen",
    ),
    "iso": Window(
        2000.0, 6000.0, N_("2 to 6 kA/m, rms"),
        N_("ISO 9934-1:2015 for the 2 kA/m; ISO 17638 for the upper end, unconfirmed, check your copy"), "memory",
    ),
}  # fmt: skip
"""The windows that a drill can name, by the word that stands in its file."""

LIMITS: Final[tuple[Limit, ...]] = (
    Limit(
        0.5e-3, N_("people with implants"), N_("Directive 2013/35/EU as remembered, static field"), "memory"
    ),
    Limit(
        1e-3,
        N_("everybody, for long"),
        N_("Directive 2013/35/EU, low action level at 50 Hz, rms, as remembered"),
        "memory",
    ),
)
"""Boundaries round leads and coils; each is to be checked against the copy that holds on the site."""

INSTRUMENTS: Final = 0.9144
"""How far aircraft instruments keep from magnetizing gear, m: 36 in, TM 1-1520-265-23, seen."""
