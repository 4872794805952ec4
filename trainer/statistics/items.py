"""Whether an item tells strong from weak candidates: its correlation with the rest of the paper, its options."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Iterable, Sequence
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
    return [ItemFigures(item, shares[item], with_others(met(firsts, item))) for item in hardest]


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


@dataclass(frozen=True, slots=True)
class Met:
    """One person's first answer to an item: right or not, the option or slip, "" for neither, and how they did otherwise.

    ``elsewhere`` is the share right of their first answers to other items, 0 for none.
    """

    right: bool
    chosen: str
    elsewhere: float


def met(replies: Sequence[Reply], item: str) -> list[Met]:
    """The first answer of each person to an item that stands among others, not the same ones for everybody."""
    firsts = first_replies(replies)
    whole = tally((reply.person, reply.right) for reply in firsts)
    return [
        Met(one.right, one.chosen, elsewhere(whole[one.person], Share(one.right, 1)))
        for one in firsts
        if one.item == item
    ]


def tally(answers: Iterable[tuple[int, bool]]) -> dict[int, Share]:
    """How many answers each person gave, and how many of them were right."""
    found: dict[int, list[bool]] = {}
    for person, right in answers:
        found.setdefault(person, []).append(right)
    return {person: Share(sum(right), len(right)) for person, right in found.items()}


def elsewhere(whole: Share, own: Share) -> float:
    """The share right of what is left of a person's first answers without those to one item, 0 where none is left."""
    left = whole.of - own.of
    return (whole.right - own.right) / left if left else 0.0


def with_others(answers: Sequence[Met]) -> Interval | None:
    """The correlation of an item with the share of right answers its people gave to whatever else they met.

    For items that stand on papers with others each time. None below the least number.
    """
    if len(answers) < CORRELATION.show:
        return None
    found = _correlation([int(one.right) for one in answers], [one.elsewhere for one in answers])
    return _fisher(found, len(answers))


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


def options(answers: Sequence[Met]) -> list[Option]:
    """The options of an item, most chosen first; a good wrong one is chosen, and by the weaker ones.

    ``rest_percent`` is the mean share of right answers of its choosers to their other items, 0 for none.
    """
    chosen: dict[tuple[str, bool], list[float]] = {}
    for one in answers:
        chosen.setdefault((one.chosen, one.right), []).append(100 * one.elsewhere)
    counts = Counter({key: len(found) for key, found in chosen.items()})
    return [Option(*key, count, fmean(chosen[key])) for key, count in counts.most_common()]
