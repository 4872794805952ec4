"""From how many answers on a figure is shown, and from how many on something may be done about it.

The numbers are this house's own, from the widths of the intervals at those sizes: a share of 70 % from 10 answers
lies between 40 and 89 %, from 50 between 56 and 81 %; a correlation of 0.30 from 30 between -0.07 and 0.60; a KR-20
of 0.80 over 40 items from 30 people between 0.68 and 0.89.
"""

from __future__ import annotations

from dataclasses import dataclass

from trainer.formulas.writing import amount
from trainer.languages import N_, _


@dataclass(frozen=True, slots=True)
class Enough:
    """The least number to show a figure, and the least to act on it."""

    show: int
    act: int

    def says(self, have: int, of: str = "people") -> str:
        """What a reader must know about the number behind a figure."""
        says = (
            _ONE_YET
            if have == 1
            else _NOT_YET
            if have < self.show
            else _LOOK_ONLY
            if have < self.act
            else _ENOUGH
        )
        return _(says[of], show=self.show, have=have, act=self.act)


_NOT_YET = {
    "people": N_("From %(show)s people on; there are %(have)s."),
    "answers": N_("From %(show)s answers on; there are %(have)s."),
    "judges": N_("From %(show)s judges on; there are %(have)s."),
}
_ONE_YET = {
    "people": N_("From %(show)s people on; there is one."),
    "answers": N_("From %(show)s answers on; there is one."),
    "judges": N_("From %(show)s judges on; there is one."),
}
_LOOK_ONLY = {
    "people": N_("From %(have)s people: look at it, but change nothing before there are %(act)s."),
    "answers": N_("From %(have)s answers: look at it, but change nothing before there are %(act)s."),
    "judges": N_("From %(have)s judges: look at it, but change nothing before there are %(act)s."),
}
_ENOUGH = {
    "people": N_("From %(have)s people: enough to act on."),
    "answers": N_("From %(have)s answers: enough to act on."),
    "judges": N_("From %(have)s judges: enough to act on."),
}

DIFFICULTY = Enough(10, 50)
CORRELATION = Enough(30, 100)
RELIABILITY = Enough(30, 100)
DECISION = Enough(50, 100)
PANEL = Enough(5, 10)
BIN = Enough(10, 50)
"""For each bin of a parameter; the comparison of bins is one of shares."""


def percent(share: float) -> str:
    """A share as the sentences beside the figures write it: in whole percent, since intervals are wide."""
    return amount(round(100 * share), "percent")
