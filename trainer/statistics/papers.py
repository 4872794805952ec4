"""How far the score of a paper can be trusted: KR-20, standard error, and how often it would decide again alike.

KR-20 takes the population variance of the totals, since p q is one too; mixing in the sample variance gives
0.738 where 0.696 is right. The interval is Feldt's (1965), decision consistency the beta-binomial model of
Huynh (1976); both formulas from memory, held to recomputed vectors in the tests.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from statistics import fmean, pvariance

from trainer.languages import _, ngettext
from trainer.statistics.curves import f_quantile, log_beta
from trainer.statistics.difficulty import Interval
from trainer.statistics.enough import DECISION, RELIABILITY, percent
from trainer.statistics.replies import Table


@dataclass(frozen=True, slots=True)
class Decision:
    """How often two such papers would decide alike, and how much of it is beyond chance (kappa)."""

    passing: float
    alike: float
    kappa: float


@dataclass(frozen=True, slots=True)
class PaperFigures:
    """Figures of one paper; None where there are too few people, or nothing varies.

    ``mixed``: everybody had items of their own from one pool, so that the reliability is KR-21.
    """

    people: int
    items: int
    mean: float
    deviation: float
    reliability: Interval | None
    error: float | None
    decision: Decision | None
    mixed: bool = False

    @property
    def says(self) -> list[str]:
        """Each figure in plain words, in order."""
        said = [
            _(
                "%(people)s, %(items)s; on average %(mean)s right.",
                people=ngettext("%(n)s person", "%(n)s people", self.people),
                items=ngettext("%(n)s item", "%(n)s items", self.items),
                mean=format(self.mean, ".1f"),
            )
        ]
        if self.reliability is None or self.error is None:
            return [*said, _("How far the score can be trusted: %(why)s", why=self._why_none())]
        found, error, basis = self.reliability, self.error, DECISION.says(self.people)
        value = {
            "value": format(found.value, ".2f"), "low": format(found.low, ".2f"), "high": format(found.high, ".2f"),
            "basis": RELIABILITY.says(self.people),
        }  # fmt: skip
        said.append(
            _(
                "KR-21 is %(value)s (%(low)s to %(high)s): near 1, another such paper would rank these people the "
                "same; near 0, their order is chance. Everybody had questions of their own, so this takes all for "
                "equally hard and is rather too low than too high. %(basis)s",
                **value,
            )
            if self.mixed
            else _(
                "KR-20 is %(value)s (%(low)s to %(high)s): near 1, another such paper would rank these people the "
                "same; near 0, their order is chance. %(basis)s",
                **value,
            )
        )
        said.append(
            _(
                "Standard error %(error)s items: two scores closer than about %(twice)s items tell nothing about "
                "who knows more.",
                error=format(error, ".1f"),
                twice=format(2 * error, ".0f"),
            )
        )
        if self.decision is None:
            return [*said, _("How often it would decide alike: %(basis)s", basis=basis)]
        said.append(
            _(
                "A second such paper would pass or fail %(alike)s of them as this one did; kappa %(kappa)s is what "
                "of that is not luck. %(basis)s",
                alike=percent(self.decision.alike),
                kappa=format(self.decision.kappa, ".2f"),
                basis=basis,
            )
        )
        return said

    def _why_none(self) -> str:
        if self.people < RELIABILITY.show:
            return RELIABILITY.says(self.people)
        return _("everybody scored alike, so there is nothing to tell apart.")


def figures(table: Table, cut: int, mixed: bool = False) -> PaperFigures:
    """The figures of a paper whose pass mark is ``cut`` right answers. Raises ValueError for an empty table.

    ``mixed``: the columns are places on papers that hold other items for everybody, so that KR-21 is taken, the
    reliability where items are drawn anew for each (Lord and Novick 1968; from memory, unconfirmed).
    """
    people, items = len(table.rows), len(table.items)
    if not people:
        raise ValueError("figures are of one person or more")
    mean, variance = fmean(table.totals), pvariance(table.totals)
    deviation = math.sqrt(variance)
    value = None
    if people >= RELIABILITY.show:
        value = kr21(mean, deviation, items) if mixed else kr20(table)
    reliability = None if value is None else feldt(value, people, items)
    error = None if value is None else math.sqrt(variance * max(0.0, 1 - value))
    decision = consistency(mean, deviation, items, cut) if people >= DECISION.show else None
    return PaperFigures(people, items, mean, deviation, reliability, error, decision, mixed)


def kr20(table: Table) -> float | None:
    """Kuder and Richardson's formula 20; None for less than two items or where all totals are alike."""
    items, variance = len(table.items), pvariance(table.totals)
    if items < 2 or variance == 0:
        return None
    shares = (fmean(table.column(j)) for j in range(items))
    return items / (items - 1) * (1 - sum(p * (1 - p) for p in shares) / variance)


def kr21(mean: float, deviation: float, items: int) -> float | None:
    """Kuder and Richardson's formula 21, which needs the totals only; None where those do not vary."""
    if deviation == 0 or items < 2:
        return None
    return items / (items - 1) * (1 - mean * (items - mean) / (items * deviation**2))


def feldt(value: float, people: int, items: int) -> Interval:
    """The 95 % interval of Feldt for a KR-20 from so many people and items."""
    upper, lower = people - 1, (people - 1) * (items - 1)
    return Interval(
        value,
        1 - (1 - value) * f_quantile(0.975, upper, lower),
        1 - (1 - value) * f_quantile(0.025, upper, lower),
    )


def consistency(mean: float, deviation: float, items: int, cut: int) -> Decision | None:
    """Huynh's estimate from one paper; None where KR-21 is not between 0 and 1, so that the model does not fit."""
    value = kr21(mean, deviation, items)
    if value is None or not 0 < value < 1:
        return None
    alpha = (1 / value - 1) * mean
    beta = items / value - items - alpha
    if alpha <= 0 or beta <= 0:
        return None
    once = [_chance(x, items, alpha, beta) for x in range(items + 1)]
    passing = math.fsum(once[cut:])
    both = math.fsum(
        _chance_of_two(x, y, items, alpha, beta) for x in range(cut, items + 1) for y in range(cut, items + 1)
    )
    alike = 1 - 2 * passing + 2 * both
    by_luck = passing**2 + (1 - passing) ** 2
    return Decision(passing, alike, (alike - by_luck) / (1 - by_luck)) if by_luck < 1 else None


def _chance(x: int, items: int, alpha: float, beta: float) -> float:
    return math.exp(
        math.log(math.comb(items, x)) + log_beta(alpha + x, beta + items - x) - log_beta(alpha, beta)
    )


def _chance_of_two(x: int, y: int, items: int, alpha: float, beta: float) -> float:
    ways = math.log(math.comb(items, x)) + math.log(math.comb(items, y))
    return math.exp(ways + log_beta(alpha + x + y, beta + 2 * items - x - y) - log_beta(alpha, beta))
