"""Whether an item tells strong from weak candidates: its correlation with the rest of the paper, its options."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from statistics import fmean

from trainer.languages import _
from trainer.statistics.difficulty import Z95, Interval, Share
from trainer.statistics.enough import CORRELATION
from trainer.statistics.replies import Reply, Table, first_replies


@dataclass(frozen=True, slots=True)
class ItemFigures:
    """One item of a paper: how hard, and how it goes with the rest; ``rest`` is None where it cannot be told."""

    item: str
    share: Share
    rest: Interval | None

    @property
    def says(self) -> str:
        """The correlation in plain words."""
        if self.rest is None:
            if self.share.of < CORRELATION.show:
                return CORRELATION.says(self.share.of)
            return _("Everybody answered alike, or the rest of the paper did: nothing to compare.")
        if self.rest.high < 0:
            return _("Those who do well otherwise miss this one: look at its key, its wording or its ranges.")
        if self.rest.low > 0:
            return _("Those who do well otherwise get this one right too.")
        return _("It may or may not go with the rest; more answers are needed.")


def figures(table: Table) -> list[ItemFigures]:
    """The figures of every item; correlations from the least number of people on."""
    return [
        ItemFigures(item, Share(sum(table.column(j)), len(table.rows)), with_rest(table, j))
        for j, item in enumerate(table.items)
    ]


def each(replies: Sequence[Reply]) -> list[ItemFigures]:
    """The figures of every item of papers that hold other items for everybody, the hardest first."""
    firsts = first_replies(replies)
    found: dict[str, list[bool]] = {}
    for reply in firsts:
        found.setdefault(reply.item, []).append(reply.right)
    shares = {item: Share(sum(right), len(right)) for item, right in found.items()}
    hardest = sorted(shares, key=lambda item: shares[item].right / shares[item].of)
    return [ItemFigures(item, shares[item], with_others(firsts, item)) for item in hardest]


def with_rest(table: Table, place: int) -> Interval | None:
    """The corrected item-total correlation with its interval (Fisher's z), or None below the least number."""
    count = len(table.rows)
    if count < CORRELATION.show:
        return None
    return _fisher(corrected(table, place), count)


def corrected(table: Table, place: int) -> float | None:
    """The correlation of an item with the total of the others. None where one of the two does not vary."""
    own = table.column(place)
    return _correlation(own, [total - one for total, one in zip(table.totals, own, strict=True)])


def with_others(replies: Sequence[Reply], item: str) -> Interval | None:
    """The correlation of an item with the share of right answers its people gave to whatever else they met.

    For items that stand on papers with others each time. None below the least number.
    """
    met = _others(replies, item)
    if len(met) < CORRELATION.show:
        return None
    return _fisher(_correlation([int(one.right) for one, _ in met], [share for _, share in met]), len(met))


def _others(replies: Sequence[Reply], item: str) -> list[tuple[Reply, float]]:
    """The first answer of each person to an item, with the share right of their first answers to others, 0 for none."""
    firsts = first_replies(replies)
    others: dict[int, list[bool]] = {}
    for reply in firsts:
        if reply.item != item:
            others.setdefault(reply.person, []).append(reply.right)
    return [(reply, fmean(others.get(reply.person, (False,)))) for reply in firsts if reply.item == item]


def _fisher(r: float | None, count: int) -> Interval | None:
    if r is None or abs(r) >= 1:
        return None
    z, reach = math.atanh(r), Z95 / math.sqrt(count - 3)
    return Interval(r, math.tanh(z - reach), math.tanh(z + reach))


def _correlation(xs: Sequence[float], ys: Sequence[float]) -> float | None:
    mx, my = fmean(xs), fmean(ys)
    sxy = math.fsum((x - mx) * (y - my) for x, y in zip(xs, ys, strict=True))
    sxx = math.fsum((x - mx) ** 2 for x in xs)
    syy = math.fsum((y - my) ** 2 for y in ys)
    return None if sxx < 1e-12 or syy < 1e-12 else sxy / math.sqrt(sxx * syy)


@dataclass(frozen=True, slots=True)
class Option:
    """One option (or slip) of an item: how many chose it, and how they did on the others, in percent."""

    name: str
    right: bool
    chosen: int
    rest_percent: float


def options(replies: Sequence[Reply], item: str) -> list[Option]:
    """The options of an item, most chosen first; a good wrong one is chosen, and by the weaker ones.

    ``rest_percent`` is the mean share of right answers of its choosers to their other items, 0 for none.
    """
    chosen: dict[tuple[str, bool], list[float]] = {}
    for reply, share in _others(replies, item):
        chosen.setdefault((reply.chosen, reply.right), []).append(100 * share)
    counts = Counter({key: len(found) for key, found in chosen.items()})
    return [Option(*key, count, fmean(chosen[key])) for key, count in counts.most_common()]
