"""Units against NIST SP 811 (2008), Appendix B.8 and B.9, and against pint's own registry."""

from __future__ import annotations

import pint
import pytest

from trainer.errors import Refused
from trainer.formulas.units import _rows, alike, convert, spelled, unit

# NIST SP 811 (2008), B.8: to convert from, to, multiply by (all digits as printed).
NIST = [
    ("in", "mm", 25.4), ("in", "m", 2.54e-2), ("ft", "m", 3.048e-1), ("in2", "m2", 6.4516e-4),
    ("cmil", "m2", 5.067075e-10), ("cmil", "mm2", 5.067075e-4), ("G", "T", 1e-4), ("Oe", "A/m", 7.957747e1),
    ("lb", "kg", 4.535924e-1), ("lbf", "N", 4.448222), ("lb/in3", "kg/m3", 2.767990e4),
    ("fc", "lx", 1.076391e1), ("deg", "rad", 1.745329e-2), ("min", "s", 60.0), ("h", "s", 3600.0),
    ("d", "s", 86400.0), ("L", "mL", 1000.0), ("W/cm2", "W/m2", 1e4), ("ohm*cmil/ft", "ohm*mm2/m", 1.662426e-3),
]  # fmt: skip


@pytest.mark.parametrize(("source", "target", "factor"), NIST)
def test_factor_is_that_of_nist(source: str, target: str, factor: float) -> None:
    """Each factor has the seven digits that NIST SP 811 prints."""
    assert convert(1, source, target) == pytest.approx(factor, rel=5e-7)


@pytest.mark.parametrize(
    ("value", "source", "target", "result"),
    [
        (32, "degF", "degC", 0),
        (212, "degF", "degC", 100),
        (0, "degC", "K", 273.15),
        (-40, "degC", "degF", -40),
    ],
)
def test_temperature_has_an_offset(value: float, source: str, target: str, result: float) -> None:
    """Freezing, boiling and the crossing point lie where NIST SP 811 B.8 puts them."""
    assert convert(value, source, target) == pytest.approx(result, abs=1e-9)


def test_every_unit_agrees_with_the_default_registry() -> None:
    """Our short definitions and pint's own give the same base values."""
    registry = pint.UnitRegistry()
    for name, expression, _, _ in _rows():
        if any(word in expression for word in ("oersted", "gauss", "degree_", "foot_candle")):
            continue  # Gaussian dimensions in pint, offsets, and one it lacks: checked above
        theirs = registry.Quantity(expression).to_base_units().magnitude
        assert unit(name).factor == pytest.approx(theirs, rel=1e-9), name


def test_bank_name_and_shown_sign_are_spellings_of_each_unit() -> None:
    """A person may type a unit as the house writes it."""
    for name, _, shown, _ in _rows():
        if name != "1":
            assert spelled(name) == unit(name)
            assert spelled(shown) is not None


def test_case_counts_where_two_units_differ_by_it() -> None:
    """mA is not MA, mT is not MT, but KA and AMPS are plain enough."""
    assert spelled("AMPS") == unit("A")
    assert spelled("ka") == unit("kA")
    assert spelled("mohm") == unit("mohm")
    assert spelled("furlong") is None


def test_unlike_kinds_are_refused() -> None:
    """Amperes are no inches, and an unknown name lists what there is."""
    with pytest.raises(Refused, match="A cannot be turned into in"):
        convert(1, "A", "in")
    with pytest.raises(Refused, match="'furlong' is not a unit of the table"):
        unit("furlong")


def test_alike_units_are_those_of_one_kind() -> None:
    """Lengths know each other and nothing else."""
    assert {u.name for u in alike("in")} == {"in", "ft", "mm", "cm", "m", "km"}
