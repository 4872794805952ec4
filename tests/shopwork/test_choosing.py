"""The case of a technique is chosen by its documented conditions: each boundary, each reason, each unknown."""

from __future__ import annotations

from typing import Any

import pytest

from tests.banks import shipped_shelf
from tests.work import calls_in
from trainer.errors import NotFound, Refused
from trainer.shopwork.pack import RESERVED
from trainer.shopwork.sheet import Asked, WorkSheet, faults_of, work_part
from trainer.shopwork.shelf import ShopShelf

SHOP = ShopShelf(shipped_shelf())
COIL = {"L": "10 in", "D": "2 in", "coil": "12 in", "N": "5"}
TUBE = {"L": "12 in", "D": "3 in", "ID": "2.5 in", "coil": "16 in", "N": "5"}


def sheet(technique: str, find: str = "", in_unit: str = "", **texts: str) -> WorkSheet:
    """Work a part of the shipped bank."""
    return work_part(SHOP, Asked(technique, texts, find, None, in_unit))


def case_of(technique: str, find: str = "", **texts: str) -> str | None:
    """The case that is taken, or None."""
    taken = sheet(technique, find, **texts).outcome.taken
    return taken.read.case.id if taken else None


@pytest.mark.parametrize(
    ("texts", "case", "value"),
    [
        (COIL, "low-wall-solid", 1800),  # T.O. 33B-1-1, Table 3-3: 45 000/5/5
        ({**COIL, "L": "254 mm", "coil": "30.48 cm"}, "low-wall-solid", 1800),
        (TUBE, "low-wall-hollow", 1243.73),  # T.O. 33B-1-1, 3.3.12.6.3.4: effective diameter 1.658 in
        ({**COIL, "coil": "8 in", "D": "4 in", "L": "12 in"}, "intermediate", 1800),
        ({**COIL, "place": "wrap", "coil": ""}, "wrap-solid", 1000),
        ({**TUBE, "place": "wrap"}, "wrap-hollow", 757.88),
        ({**COIL, "coil": "2.5 in"}, "high-solid", 1000),
        ({**TUBE, "coil": "4 in"}, "high-hollow", 757.88),
        ({**COIL, "place": "middle"}, "low-middle-solid", 2064),
        ({**TUBE, "place": "middle"}, "low-middle-hollow", 1790.84),
        ({**COIL, "rule": "asme"}, "asme", 1000),
        ({"L": "60 in", "D": "3 in", "N": "5", "rule": "asme"}, "asme-sections", 875),
        ({**COIL, "rule": "navsea"}, "navsea", 1800),
        ({**COIL, "L": "3 in", "rule": "navsea"}, "navsea", 4500),
    ],
)
def test_coil_cases(texts: dict[str, str], case: str, value: float) -> None:
    """Fill, place, hole and document choose the relation; the result is the published or a hand-worked one."""
    made = sheet("coil", "I", **texts)
    assert made.outcome.taken is not None
    assert made.result is not None
    assert (made.outcome.taken.read.case.id, made.result.value) == (case, pytest.approx(value, rel=1e-4))


@pytest.mark.parametrize(
    ("technique", "texts", "case"),
    [
        ("coil", {**COIL, "D": "1 in", "coil": "1.4142 in"}, "high-solid"),  # fill just under 2
        ("coil", {**COIL, "D": "100 mm", "coil": "141.422 mm"}, "intermediate"),  # just over 2
        ("coil", {**COIL, "D": "1 in", "coil": "3.1622 in"}, "intermediate"),  # just under 10
        ("coil", {**COIL, "D": "1 in", "coil": "3.1623 in"}, "low-wall-solid"),  # just over 10
        ("coil", {**COIL, "D": "1 in", "coil": "3.1623 in", "place": "middle"}, "low-middle-solid"),
        ("coil", {**COIL, "coil": "5 in", "place": "middle"}, "intermediate-middle"),
        ("coil", {**TUBE, "coil": "8 in"}, "intermediate-hollow"),
        ("coil", {**COIL, "L": "4 in", "rule": "asme"}, "asme"),  # L/D 2 exactly
        ("coil", {**COIL, "L": "101.6 mm", "D": "50.8 mm", "rule": "asme"}, "asme"),
        ("coil", {**COIL, "L": "3.999 in", "rule": "asme"}, "asme-short"),
        ("coil", {**COIL, "L": "18 in", "rule": "asme"}, "asme"),
        ("coil", {**COIL, "L": "457.3 mm", "rule": "asme"}, "asme-sections"),
        ("coil", {**COIL, "L": "40 in", "D": "9.1 in", "coil": "30 in", "rule": "asme"}, "asme-short"),
        ("prods", {"s": "6 in", "t": "3/4 in"}, "asme-thick"),
        ("prods", {"s": "6 in", "t": "19.05 mm"}, "asme-thick"),
        ("prods", {"s": "6 in", "t": "19 mm"}, "asme-thin"),
        ("prods", {"I": "600 A", "t": "19 mm"}, "asme-thin-spacing"),
        ("prods", {"I": "600 A", "t": "1 in"}, "asme-thick-spacing"),
        ("prods", {"s": "150 mm", "H": "2 kA/m", "rule": "iso"}, "iso"),
        ("head-shot", {"D": "2 in", "a": "500 A/in"}, "asme-rate"),
        ("head-shot", {"D": "2 in"}, "asme-band"),
        ("head-shot", {"D": "2 in", "rule": "sheets"}, "sheets-round"),
        ("head-shot", {"P": "6 in", "rule": "sheets", "section": "odd"}, "sheets-odd"),
        ("head-shot", {"D": "50 mm", "H": "2 kA/m", "rule": "iso"}, "iso-round"),
        ("head-shot", {"P": "160 mm", "H": "2 kA/m", "rule": "iso", "section": "odd"}, "iso-odd"),
        ("central-conductor", {"OD": "4 in", "t": "0.5 in", "d": "1 in", "a": "500 A/in"}, "centred"),
        ("central-conductor", {"OD": "8 in", "t": "0.5 in", "d": "1 in", "a": "500 A/in", "place": "offset"}, "offset"),
        ("central-conductor", {"OD": "8 in", "t": "0.5 in", "d": "1 in", "place": "offset"}, "offset-band"),
        ("yoke", {"m": "10 lb"}, "asme-ac"),
        ("yoke", {"m": "18 kg", "kind": "magnet"}, "asme-dc"),
        ("yoke", {"m": "10 lb", "rule": "to"}, "to-ac"),
        ("yoke", {"m": "30 lb", "rule": "to", "kind": "dc", "s": "3.99 in"}, "to-dc-near"),
        ("yoke", {"m": "40 lb", "rule": "to", "kind": "dc", "s": "101.6 mm"}, "to-dc-wide"),
        ("yoke", {"m": "10 lb", "rule": "navsea"}, "navsea-ac"),
        ("yoke", {"m": "40 lb", "rule": "navsea", "kind": "dc"}, "navsea-dc"),
        ("demagnetization", {"I0": "2000 A", "If": "50 A", "p": "20 %"}, "shares"),
        ("demagnetization", {"I0": "2000 A", "dI": "100 A", "way": "equal"}, "equal"),
        ("demagnetization", {"I0": "1000 A", "N": "5", "R": "6 in", "H": "100 A/m", "way": "drawn"}, "drawn"),
    ],
)  # fmt: skip
def test_boundaries_of_every_technique(technique: str, texts: dict[str, str], case: str) -> None:
    """On each side of a documented limit its own case is taken, in any unit."""
    assert case_of(technique, **texts) == case


@pytest.mark.parametrize(
    ("find", "texts", "value"),
    [
        ("N", {**COIL, "N": "", "I": "1.8 kA"}, 5),
        ("L", {**COIL, "L": "", "I": "1800 A"}, 10),
        ("D", {**COIL, "D": "", "I": "1800 A"}, 2),
        ("NI", COIL, 9000),
        ("I", COIL, 1800),
    ],
)
def test_any_unknown(find: str, texts: dict[str, str], value: float) -> None:
    """Whatever is left open is worked out, and the conditions are judged with the result."""
    made = sheet("coil", find, **texts)
    assert made.result is not None
    assert made.result.value == pytest.approx(value)
    assert made.outcome.values["fill"] == pytest.approx(36)


@pytest.mark.parametrize(
    ("technique", "find", "texts", "value"),
    [
        ("central-conductor", "n", {"OD": "10 in", "t": "0.75 in", "d": "1 in", "place": "offset"}, 9),
        ("central-conductor", "n", {"OD": "10 in", "t": "0.75 in", "d": "1 in", "place": "offset", "arc": "inside"}, 8),
        ("prods", "n", {"W": "30 in", "s": "6 in"}, 7),  # 2 in of overlap where none is given
        ("prods", "n", {"W": "30 in", "s": "6 in", "o": "1 in"}, 6),
        ("prods", "s", {"I": "600 A", "t": "1 in"}, 6),
        ("head-shot", "H", {"I": "320 A", "P": "160 mm", "rule": "iso", "section": "odd"}, 2),
        ("central-conductor", "t", {"OD": "8 in", "d": "1 in", "a": "500 A/in", "I": "1000 A", "place": "offset"}, 0.5),
        ("yoke", "m", {"F": "44.48 N"}, 4.5357),
    ],
)  # fmt: skip
def test_published_figures(technique: str, find: str, texts: dict[str, str], value: float) -> None:
    """Worked figures of the references come out of the technique as they do out of the drill."""
    made = sheet(technique, find, **texts)
    assert made.result is not None
    assert made.result.value == pytest.approx(value, rel=1e-3)


def test_a_band_stays_a_band() -> None:
    """ASME V for prods 6 in apart on a 1 in plate: 600 to 750 A, and the same in kA."""
    made = sheet("prods", "I", "kA", s="6 in", t="1 in")
    assert made.result is not None
    assert (made.result.low, made.result.high, made.result.text) == (0.6, 0.75, "0.6 to 0.75\u202fkA")


def test_every_other_case_has_its_reason() -> None:
    """Cases not met say which condition, cases of another choice say which and what they would give."""
    outcome = sheet("coil", "I", **COIL).outcome
    refused = {one.read.case.id: one.broken for one in outcome.refused}
    elsewhere = {one.read.case.id: one.otherwise for one in outcome.elsewhere}
    assert refused["high-solid"] == ("The coil bore has less than twice the area of the part.",)
    assert set(elsewhere) == {"wrap-solid", "low-middle-solid", "asme", "navsea"}
    assert elsewhere["asme"] == ("Document: ASME V, Article 7",)


def test_what_is_missing_is_named() -> None:
    """Without the coil bore the fill cannot be judged, so nothing is taken and the bore is asked for."""
    outcome = sheet("coil", "I", **{**COIL, "coil": ""}).outcome
    assert outcome.taken is None
    assert ("give the coil bore (coil)",) in [one.wanting for one in outcome.refused]


@pytest.mark.parametrize(
    ("technique", "texts", "says"),
    [
        ("coil", {**COIL, "L": "3 in"}, "L/D is under 2"),
        ("coil", {**COIL, "L": "40 in"}, "counts as 15"),
        ("coil", {**COIL, "N": "2"}, "Fewer than three turns"),
        ("coil", {"L": "60 in", "D": "3 in", "N": "5", "rule": "asme"}, "in sections of at most 18 in"),
        ("prods", {"s": "8.1 in", "t": "1 in"}, "more than 8 in"),
        ("head-shot", {"D": "2 in", "ID": "1 in"}, "no field in the bore"),
        ("head-shot", {"D": "2 in", "rule": "sheets"}, "outside the 300 to 800 A"),
        ("yoke", {"m": "9 lb"}, "lighter than 10 lb"),
        ("yoke", {"m": "39 lb", "kind": "dc"}, "lighter than 40 lb"),
        ("yoke", {"m": "10 lb", "s": "4 in", "most": "6 in"}, "closer than the widest spacing"),
        (
            "demagnetization",
            {"I0": "900 A", "If": "50 A", "p": "0.2", "used": "1000 A"},
            "at least as strong",
        ),
    ],
)
def test_outside_is_loud_and_worked(technique: str, texts: dict[str, str], says: str) -> None:
    """Outside the documented limits there is still a result, with a warning."""
    made = sheet(technique, **texts)
    assert made.result is not None
    assert any(says in text for text in made.outcome.warnings), made.outcome.warnings


@pytest.mark.parametrize(
    ("texts", "field", "says"),
    [
        ({**COIL, "L": "10"}, "L", "A unit is missing"),
        ({**COIL, "L": "10 A"}, "L", "does not measure this"),
        ({**COIL, "L": "-3 in"}, "L", "above zero"),
        ({**COIL, "L": "0 in"}, "L", "above zero"),
        ({**COIL, "L": "__import__('os')"}, "L", "cannot hold"),
        ({**COIL, "L": "9" * 5000}, "L", "longer than 40"),
        ({**COIL, "L": "1e300 in"}, "L", "beyond anything"),
        ({**COIL, "Q": "1"}, "Q", "has no 'Q'"),
        ({**COIL, "rule": "mine"}, "rule", "choose sheets or asme or navsea"),
        ({**COIL, "I": "3 A"}, "I", "leave it empty"),
        ({**COIL, "on": "2 h"}, "on", "No shot lasts longer"),
    ],
)
def test_each_fault_stands_at_its_field(texts: dict[str, str], field: str, says: str) -> None:
    """What cannot be taken is named where it was typed, and nothing is worked out."""
    asked = Asked("coil", texts, "I")
    assert says in faults_of(SHOP, asked)[field]
    with pytest.raises(Refused, match=field):
        work_part(SHOP, asked)


@pytest.mark.parametrize(
    ("technique", "texts", "says"),
    [
        ("coil", {**COIL, "ID": "2 in"}, "as wide as the part"),
        ("coil", {**COIL, "coil": "50 mm"}, "does not go into the coil"),
        ("central-conductor", {"OD": "2 in", "t": "1 in", "d": "0.5 in", "a": "500 A/in"}, "Twice the wall"),
        ("central-conductor", {"OD": "2 in", "t": "0.5 in", "d": "1.1 in", "a": "500 A/in"}, "does not go through"),
        ("demagnetization", {"I0": "50 A", "If": "50 A", "p": "0.2"}, "below the start"),
    ],
)  # fmt: skip
def test_no_such_part(technique: str, texts: dict[str, str], says: str) -> None:
    """Values that no real part can have are refused with a sentence."""
    with pytest.raises(Refused, match=says):
        sheet(technique, **texts)


def test_a_result_below_zero_is_none() -> None:
    """A wall that comes out negative is no result: the case is not taken."""
    made = sheet("central-conductor", "t", OD="8 in", d="3 in", a="500 A/in", I="1000 A", place="offset")
    assert made.result is None
    assert any("below zero" in text for one in made.outcome.refused for text in one.wanting)


def test_unknown_technique_and_unit() -> None:
    """A technique that is not there is not found; a unit of another kind is refused."""
    with pytest.raises(NotFound, match="did you mean coil"):
        sheet("coils")
    with pytest.raises(Refused, match="cannot be written in 'mm'"):
        sheet("coil", "I", "mm", **COIL)


def test_no_symbol_takes_the_name_of_a_field() -> None:
    """Symbols of techniques and fields of the sheet share one address, so none may stand for two things."""
    used: set[Any] = set()
    for entry in SHOP.bank.techniques.values():
        used |= {*entry.technique.quantities, *entry.technique.options}
    assert not used & RESERVED


def test_the_work_of_any_part_is_bounded() -> None:
    """However the values are chosen, trying every case stays within a fixed amount of work."""
    sheet("coil", "I", **COIL)  # whatever is solved or compiled for the first time
    hostile = {**COIL, "L": "1e14 in", "N": "1e-14", "coil": "9e14 km"}
    usual = calls_in(lambda: sheet("coil", "I", **COIL))
    assert calls_in(lambda: sheet("coil", "I", **hostile)) < 2 * usual < 400_000
