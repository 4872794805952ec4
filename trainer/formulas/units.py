"""The closed table of units: how each is written, which spellings a person may type, what it is worth.

pint has worked out every factor from ``units.txt`` (``worth``); a conversion is one multiplication.
Typed text never reaches pint: it is looked up in the spellings below.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from difflib import get_close_matches
from functools import cache

from trainer.errors import Refused
from trainer.formulas.worth import worth_of
from trainer.languages import NP_, pgettext

# name | pint expression | shown | further spellings (comma between), in every language of the pages and without
# accents. The first column is the bank's name.
_TABLE = """
1 | 1 | | turn, turns, turn(s), shot, shots, pass, passes, step, steps, position, positions, placement, placements, pulse, pulses, mark, marks, answer, answers, cable, cables, question, questions, day, days, vuelta, vueltas, espira, espiras, disparo, disparos, pasada, pasadas, paso, pasos, posicion, posiciones, pulso, pulsos, marca, marcas, pregunta, preguntas, dia, dias, colocacion, colocaciones, division, divisiones, respuesta, respuestas
in | inch | in | ", inch, inches, ins, in., '', pulg, pulgada, pulgadas
ft | foot | ft | ', foot, feet, pie, pies
mm | millimeter | mm | millimetre, millimetres, millimeter, millimeters, milimetro, milimetros
cm | centimeter | cm | centimetre, centimetres, centimeter, centimeters, centimetro, centimetros
m | meter | m | metre, metres, meter, meters, metro, metros
km | kilometer | km |
mm2 | millimeter**2 | mm² | mm^2, sq mm, sq. mm, sqmm
cm2 | centimeter**2 | cm² | cm^2
m2 | meter**2 | m² | m^2
in2 | inch**2 | in² | in^2, sq in, sq. in, sqin
cmil | circular_mil | cmil | CM, circular mil, circular mils, mil circular, mils circulares
kcmil | 1000*circular_mil | kcmil | MCM
A | ampere | A | amp, amps, ampere, amperes, amperio, amperios
kA | 1000*ampere | kA | kiloamp, kiloamps, kiloampere, kiloamperes, kiloamperio, kiloamperios
mA | 0.001*ampere | mA | milliamp, milliamps, milliampere, milliamperes, miliamperio, miliamperios
A-turn | ampere | A-turn | A-turns, At, AT, A.t, A·t, A·turn, A·turns, A*turns, A turns, ampere-turn, ampere-turns, ampere turns, amp-turns, amp turns, amperio-vuelta, amperios-vuelta, amperios vuelta, A-vuelta, A-vueltas, Av, A-v, A·v
A/in | ampere/inch | A/in | A/", A/inch, amps/in, amps/inch, amps per inch, amperes per inch, A per in, A per inch, A/pulg, A/pulgada
A/mm | ampere/millimeter | A/mm | A per mm
A/cm | ampere/centimeter | A/cm |
A/m | ampere/meter | A/m | A per m, A/metre, A/meter, amps/m, A/metro
kA/m | 1000*ampere/meter | kA/m | kA per m, kA/metre, kA/meter, kA/metro
Oe | oersted | Oe | oersted, oersteds
G | gauss | G | gauss
kG | 1000*gauss | kG |
T | tesla | T | tesla
mT | 0.001*tesla | mT | militesla, militeslas
uT | 0.000001*tesla | µT | uT
Wb | weber | Wb | weber
uWb | 0.000001*weber | µWb | uWb
mWb | 0.001*weber | mWb |
V | volt | V | volt, volts, voltio, voltios
mV | 0.001*volt | mV |
kV | 1000*volt | kV |
ohm | ohm | Ω | ohm, ohms, ohmio, ohmios
mohm | 0.001*ohm | mΩ | mohm, milliohm, milliohms, miliohmio, miliohmios
uohm | 0.000001*ohm | µΩ | uohm, microohm, microohms
ohm/km | ohm/kilometer | Ω/km | ohm/km, mohm/m, mΩ/m
ohm/kft | ohm/(1000*foot) | Ω/kft | ohm/kft, ohm/1000ft, mohm/ft, mΩ/ft
ohm/ft | ohm/foot | Ω/ft | ohm/ft
ohm/m | ohm/meter | Ω/m | ohm/m
ohm*mm2/m | ohm*millimeter**2/meter | Ω·mm²/m | ohm*mm2/m, ohm mm2/m
ohm*m | ohm*meter | Ω·m | ohm*m, ohm m, ohm-m
uohm*cm | 0.000001*ohm*centimeter | µΩ·cm | uohm*cm, uohm cm
ohm*cmil/ft | ohm*circular_mil/foot | Ω·cmil/ft | ohm*cmil/ft, ohm-cmil/ft, ohm cmil/ft
S/m | siemens/meter | S/m |
MS/m | 1000000*siemens/meter | MS/m |
W | watt | W | watt, watts, vatio, vatios
kW | 1000*watt | kW |
mW | 0.001*watt | mW |
s | second | s | sec, secs, second, seconds, seg, segundo, segundos
ms | millisecond | ms |
min | minute | min | mins, minute, minutes, minuto, minutos
h | hour | h | hr, hrs, hour, hours, hora, horas
d | day | d |
Hz | hertz | Hz | hertz, 1/s, cycles/s
kHz | 1000*hertz | kHz |
kg | kilogram | kg | kgs, kilo, kilos, kilogram, kilograms, kilogramo, kilogramos
g | gram | g | gram, grams, gramo, gramos
lb | pound | lb | lbs, pound, pounds, lbm, libra, libras
lb/in3 | pound/inch**3 | lb/in³ | lb/in^3
kg/m3 | kilogram/meter**3 | kg/m³ | kg/m^3
N | newton | N | newton, newtons
kN | 1000*newton | kN |
lbf | pound_force | lbf |
N/m | newton/meter | N/m |
percent | percent | % | per cent, pct, por ciento
deg | degree | ° | degree, degrees, grado, grados
rad | radian | rad | radian, radians, radianes
degC | degree_Celsius | °C | C, ºC, celsius
degF | degree_Fahrenheit | °F | F, ºF, fahrenheit
K | kelvin | K | kelvin
1/K | 1/kelvin | 1/K | /K, K^-1
1/m | 1/meter | 1/m | /m, turns/m, turns per metre
1/mm | 1/millimeter | 1/mm | turns/mm
1/in | 1/inch | 1/in | turns/in
A*s**0.5/mm2 | ampere*second**0.5/millimeter**2 | A·s½/mm² | A*s^0.5/mm2, A*s**0.5/mm2
W/m2 | watt/meter**2 | W/m² | W/m^2
uW/cm2 | 0.000001*watt/centimeter**2 | µW/cm² | uW/cm^2
mW/cm2 | 0.001*watt/centimeter**2 | mW/cm² | mW/cm^2
W/cm2 | watt/centimeter**2 | W/cm² | W/cm^2
cd | candela | cd | candela
lx | lux | lx | lux
klx | 1000*lux | klx |
fc | foot_candle | fc | footcandle, footcandles, foot-candle, foot-candles, ftc, pie-candela, pies-candela
mL | milliliter | mL | ml, cc, millilitre, millilitres, milliliter, milliliters, mililitro, mililitros
L | liter | L | l, litre, litres, liter, liters, litro, litros
g/L | gram/liter | g/L | g/l
kg/m | kilogram/meter | kg/m |
"""


TEMPERATURES = frozenset({"degC", "degF"})
"""Units in which a size may be below zero."""
_ANGLES = frozenset({"deg", "rad"})
_WORDS = {"A-turn": NP_("unit", "A-turn")}
"""The units whose sign holds a word, which each reader has in their own language."""


@dataclass(frozen=True, slots=True)
class Unit:
    """One unit: value in base units = value * factor + offset; ``kind`` says what it can be turned into."""

    name: str
    shown: str
    kind: str
    factor: float
    offset: float

    @property
    def sign(self) -> str:
        """How the reader writes it; what is kept has it as ``shown``."""
        word = _WORDS.get(self.name)
        return self.shown if word is None else pgettext("unit", word)

    def to(self, other: Unit, value: float) -> float:
        """Convert a value of this unit into another of the same kind."""
        if self.name == other.name:
            return value
        if self.offset or other.offset:  # temperatures: keep the noise of large offsets out of small results
            return round((value * self.factor + self.offset - other.offset) / other.factor, 9)
        return value * self.factor / other.factor


def unit(name: str) -> Unit:
    """Return the unit of that bank name; Refused names the nearest spellings."""
    found = _units().get(name)
    if found is None:
        near = get_close_matches(name, _units(), 3, 0.4) or _units()
        raise Refused(f"'{name}' is not a unit of the table; write one such as {', '.join(near)}")
    return found


def spelled(text: str) -> Unit | None:
    """Return the unit a person typed, or None. Case matters only where two units differ by it."""
    exact, folded = _spellings()
    found = exact.get(text)
    return found if found is not None else folded.get(text.casefold())


def spelled_exactly(text: str) -> Unit | None:
    """Return the unit of exactly this spelling, or None."""
    return _spellings()[0].get(text)


def convert(value: float, from_unit: str, to_unit: str) -> float:
    """Convert between two bank unit names of the same kind; Refused where the kinds differ."""
    source, target = unit(from_unit), unit(to_unit)
    if source.kind != target.kind:
        raise Refused(
            f"{source.shown or 'a plain number'} cannot be turned into {target.shown or 'a plain number'}"
        )
    return source.to(target, value)


@cache
def alike(name: str) -> tuple[Unit, ...]:
    """Return all units of the same kind, in table order."""
    kind = unit(name).kind
    return tuple(u for u in _units().values() if u.kind == kind)


def signs() -> frozenset[str]:
    """Return every sign that a unit is shown with."""
    return frozenset(one.shown for one in _units().values())


@cache
def _rows() -> tuple[tuple[str, str, str, tuple[str, ...]], ...]:
    rows = []
    for line in _TABLE.strip().splitlines():
        name, expression, shown, more = (cell.strip() for cell in line.split("|"))
        rows.append((name, expression, shown, tuple(s.strip() for s in more.split(",") if s.strip())))
    return tuple(rows)


@cache
def _units() -> dict[str, Unit]:
    rows = _rows()
    worth = worth_of({name: expression for name, expression, _, _ in rows})
    units = {name: Unit(name, shown, *worth[name]) for name, _, shown, _ in rows}
    # pint counts angles as plain numbers; 25° is no answer to a duty of 0.25
    return units | {name: replace(units[name], kind="angle") for name in _ANGLES}


@cache
def _spellings() -> tuple[dict[str, Unit], dict[str, Unit]]:
    """Return exact spellings, and those that stay unambiguous when case is ignored."""
    exact: dict[str, Unit] = {}
    for name, _, shown, more in _rows():
        for text in (name, shown, shown.replace("·", "*"), shown.replace("µ", "u"), *more):
            if text and text != "1":
                exact.setdefault(text, _units()[name])
    folded: dict[str, Unit] = {}
    doubtful: set[str] = set()
    for text, found in exact.items():
        key = text.casefold()
        if folded.setdefault(key, found).name != found.name:
            doubtful.add(key)
    return exact, {k: u for k, u in folded.items() if k not in doubtful}
