"""Choose the documented case of a technique for a part, say why, and say of every other case why not."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

from trainer.drills.shelf import Shelf
from trainer.drills.validity import forward, holds
from trainer.drills.work import Worked
from trainer.errors import Refused
from trainer.languages import _
from trainer.shopwork.carrying import carried, fixed_amount, taken_back, worked
from trainer.shopwork.part import Part, check_sound
from trainer.shopwork.reading import Ground, ReadCase, ReadTechnique


@dataclass(frozen=True, slots=True)
class Tried:
    """One case tried on the part: its result where there is one, else why it is not taken."""

    read: ReadCase
    worked: Worked | None = None
    otherwise: tuple[str, ...] = ()
    broken: tuple[str, ...] = ()
    wanting: tuple[str, ...] = ()
    values: dict[str, float] = field(default_factory=dict)

    @property
    def fits(self) -> bool:
        """Whether the case is the one for this part: as was chosen, every condition met, a result (or none by rule)."""
        return not (self.otherwise or self.broken or self.wanting)


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of a part: the case taken (or none), the others, what is known now, the warnings."""

    read: ReadTechnique
    part: Part
    find: str
    taken: Tried | None
    others: tuple[Tried, ...]
    values: dict[str, float]
    warnings: tuple[str, ...]

    @property
    def elsewhere(self) -> tuple[Tried, ...]:
        """Cases of another document or set-up that fit in everything but what was chosen, with their result."""
        return tuple(one for one in self.others if one.worked and not (one.broken or one.wanting))

    @property
    def refused(self) -> tuple[Tried, ...]:
        """Cases of what was chosen that do not fit this part, or want more to be known."""
        return tuple(one for one in self.others if not one.otherwise and (one.broken or one.wanting))

    @property
    def worked(self) -> Worked | None:
        """The result of the case taken; None where no case fits, or the document has no relation."""
        return self.taken.worked if self.taken else None


def choose(shelf: Shelf, read: ReadTechnique, part: Part, find: str) -> Outcome:
    """Try every case that can give ``find``; the first that fits is taken.

    Raises Refused where the part itself cannot be (a bore as wide as the part).
    """
    known = forward(read.derived, part.values)
    wrong = check_sound(read, part, known)
    if wrong:
        raise Refused(wrong)
    tried = [_try(shelf, read, case, part, known, find) for case in read.cases if concerns(case, find)]
    taken = next((one for one in tried if one.fits), None)
    values = taken.values if taken else known
    return Outcome(
        read, part, find, taken, tuple(one for one in tried if one is not taken), values,
        _warnings(read, taken, values),
    )  # fmt: skip


def agrees(case: ReadCase, chosen: Mapping[str, str]) -> bool:
    """Tell whether a case is one for the words that were chosen."""
    return all(chosen.get(symbol) in words for symbol, words in case.case.chosen.items())


def concerns(case: ReadCase, find: str) -> bool:
    """Tell whether a case can give ``find``, or says that its document does not."""
    if case.case.finds is not None:
        return find in case.case.finds
    return case.case.drill is None or find in case.case.given.values()


def _try(
    shelf: Shelf, read: ReadTechnique, case: ReadCase, part: Part, known: Mapping[str, float], find: str
) -> Tried:
    otherwise = tuple(
        _words_of(read, symbol, words)
        for symbol, words in case.case.chosen.items()
        if part.chosen[symbol] not in words
    )
    broken = _broken(case.when, known)
    if broken or case.case.drill is None:
        return Tried(case, None, otherwise, broken, _unknown(read, case.when, known), dict(known))
    try:
        found = _solved(shelf, read, case, known, find)
    except Refused as refused:
        wanting = _missing(shelf, read, case, known, find) or (str(refused),)
        return Tried(case, None, otherwise, (), wanting, dict(known))
    own = read.technique.quantities[find]
    values = forward(read.derived, {**part.values, find: taken_back(found, own.unit)})
    return Tried(
        case, found, otherwise, _broken(case.when, values), _unknown(read, case.when, values), values
    )


def _solved(
    shelf: Shelf, read: ReadTechnique, case: ReadCase, known: Mapping[str, float], find: str
) -> Worked:
    drill_id = case.case.drill or ""
    drill = shelf.bank.drill(drill_id).drill
    wanted = next(symbol for symbol, own in case.case.given.items() if own == find)
    amounts = carried(drill, case.case.given, known, units_of(read))
    fixed = {symbol: fixed_amount(drill, symbol, text) for symbol, text in case.case.fixed.items()}
    return worked(shelf, drill_id, {**amounts, **fixed}, wanted)


def units_of(read: ReadTechnique) -> dict[str, str]:
    """Return the unit of every quantity of a technique, typed or derived."""
    typed = {symbol: one.unit for symbol, one in read.technique.quantities.items()}
    return typed | {symbol: one.unit for symbol, one in read.technique.derived.items()}


def name_of(read: ReadTechnique, symbol: str) -> str:
    """Return the name of a quantity of a technique, typed or derived."""
    quantity = read.technique.quantities.get(symbol)
    return quantity.name if quantity else read.technique.derived[symbol].name


def _words_of(read: ReadTechnique, symbol: str, words: Iterable[str]) -> str:
    option = read.technique.options[symbol]
    either = _(" or ")
    return f"{option.name}: {either.join(option.words[word] for word in words)}"


def _give(read: ReadTechnique, symbol: str) -> str:
    return _("give the %(name)s (%(symbol)s)", name=name_of(read, symbol), symbol=symbol)


def _broken(grounds: tuple[Ground, ...], values: Mapping[str, float]) -> tuple[str, ...]:
    return tuple(one.says for one in grounds if holds(one.test, values) is False)


def _unknown(
    read: ReadTechnique, grounds: tuple[Ground, ...], values: Mapping[str, float]
) -> tuple[str, ...]:
    """Name what must be given before the conditions can be judged."""
    undecided = [one for one in grounds if holds(one.test, values) is None]
    symbols = dict.fromkeys(s for one in undecided for s in _sources(read, one.symbols))
    return tuple(_give(read, s) for s in symbols if s not in values)


def _missing(
    shelf: Shelf, read: ReadTechnique, case: ReadCase, known: Mapping[str, float], find: str
) -> tuple[str, ...]:
    """Name what the drill of a case still needs: what it draws and neither knows nor finds."""
    drill = shelf.bank.drill(case.case.drill or "").drill
    needed = [
        own
        for symbol, own in case.case.given.items()
        if drill.quantities[symbol].drawn and own not in known and own != find
    ]
    symbols = dict.fromkeys(s for own in needed for s in _sources(read, (own,)))
    return tuple(_give(read, s) for s in symbols if s not in known and s != find)


def _sources(read: ReadTechnique, symbols: tuple[str, ...]) -> tuple[str, ...]:
    """Return the quantities a person types that stand behind these symbols."""
    derived = {one.symbols[0]: one.symbols[1:] for one in read.derived}
    out: list[str] = []
    for symbol in symbols:
        out.extend(_sources(read, derived[symbol]) if symbol in derived else (symbol,))
    return tuple(out)


def _warnings(read: ReadTechnique, taken: Tried | None, values: Mapping[str, float]) -> tuple[str, ...]:
    if taken is None:
        return ()
    own = _broken((*read.valid, *taken.read.valid), values)
    return tuple(dict.fromkeys((*(taken.worked.warnings if taken.worked else ()), *own)))
