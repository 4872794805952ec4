"""Techniques and the questions to a pack with their formulas read. Faults point at the key they stand under."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

from trainer.bank.drill import Proviso
from trainer.bank.power import Power
from trainer.bank.technique import Case, Derived, Technique
from trainer.bank.yamltext import Place
from trainer.formulas.reading import FormulaFault, read_condition, read_tree
from trainer.formulas.tree import Condition, Name, Relation, names

PlacedFaults = list[tuple[Place, str]]


@dataclass(frozen=True, slots=True)
class Ground:
    """A condition as a tree, with the sentence that goes with it."""

    test: Condition
    says: str

    @property
    def symbols(self) -> tuple[str, ...]:
        """The symbols that the condition asks about, each once."""
        return tuple(dict.fromkeys(names(self.test)))


@dataclass(frozen=True, slots=True)
class ReadCase:
    """A case with its conditions as trees."""

    case: Case
    when: tuple[Ground, ...]
    valid: tuple[Ground, ...]


@dataclass(frozen=True, slots=True)
class ReadTechnique:
    """A technique, what follows from the values of a part, and its cases."""

    technique: Technique
    edition: str
    derived: tuple[Relation, ...]
    sound: tuple[Ground, ...]
    valid: tuple[Ground, ...]
    cases: tuple[ReadCase, ...]


@dataclass(frozen=True, slots=True)
class ReadPower:
    """The questions to a pack, what follows from their answers, and what must hold."""

    power: Power
    whens: tuple[Condition | None, ...]
    derived: tuple[Relation, ...]
    sound: tuple[Ground, ...]
    able: tuple[Ground, ...]
    valid: tuple[Ground, ...]


def read_technique(technique: Technique, edition: str) -> tuple[ReadTechnique, PlacedFaults]:
    """Read every formula of a technique; return it with the faults found (what is faulty is left out)."""
    reader = _Reader({*technique.quantities, *technique.derived})
    cases = tuple(
        ReadCase(
            case,
            reader.grounds(("cases", i, "when"), case.when),
            reader.grounds(("cases", i, "valid"), case.valid),
        )
        for i, case in enumerate(technique.cases)
    )
    read = ReadTechnique(
        technique,
        edition,
        reader.derived(technique.derived),
        reader.grounds(("sound",), technique.sound),
        reader.grounds(("valid",), technique.valid),
        cases,
    )
    return read, reader.faults


def read_power(power: Power) -> tuple[ReadPower, PlacedFaults]:
    """Read every formula of the questions to a pack; return them with the faults found."""
    answers = (step.answer for step in power.steps)
    reader = _Reader({*power.quantities, *power.derived, *answers})
    read = ReadPower(
        power,
        tuple(reader.when(("steps", i, "when"), step.when) for i, step in enumerate(power.steps)),
        reader.derived(power.derived),
        reader.grounds(("sound",), power.sound),
        reader.grounds(("able",), power.able),
        reader.grounds(("valid",), power.valid),
    )
    return read, reader.faults


@dataclass(slots=True)
class _Reader:
    symbols: set[str]
    faults: PlacedFaults = field(default_factory=list)

    def grounds(self, place: Place, provisos: Sequence[Proviso]) -> tuple[Ground, ...]:
        tests = [self.when((*place, i, "holds"), proviso.holds) for i, proviso in enumerate(provisos)]
        return tuple(
            Ground(test, proviso.says) for test, proviso in zip(tests, provisos, strict=True) if test
        )

    def when(self, place: Place, text: str | None) -> Condition | None:
        try:
            return read_condition(text, self.symbols) if text else None
        except FormulaFault as fault:
            self.faults.append((place, str(fault)))
            return None

    def derived(self, derived: Mapping[str, Derived]) -> tuple[Relation, ...]:
        """Read what follows in its order; each may rest on those before it."""
        out = []
        later = set(derived)
        for symbol, one in derived.items():
            try:
                out.append(Relation(Name(symbol), read_tree(one.formula, self.symbols - later)))
            except FormulaFault as fault:
                self.faults.append((("derived", symbol, "formula"), str(fault)))
            later.discard(symbol)
        return tuple(out)
