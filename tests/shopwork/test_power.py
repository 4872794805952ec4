"""A pack is judged by the drills of the bank: can it, how long, how often, what the leads lose, how hot they get."""

from __future__ import annotations

import math

import pytest

from tests.banks import shipped_shelf
from trainer.shopwork.lines import derived_lines
from trainer.shopwork.pack import Pack, known_of, read_pack, read_shot
from trainer.shopwork.power import Judgement, judge
from trainer.shopwork.sheet import Asked, work_part
from trainer.shopwork.shelf import ShopShelf

SHOP = ShopShelf(shipped_shelf())
POWER = SHOP.power()
PLATE = {"rated": "3600 A", "duty": "25 %", "period": "4 min", "lead": "4/0 AWG", "distance": "10 m"}


def judged(current: float, on: float | None = 5, **plate: str) -> Judgement:
    """Judge a shot of this current and length."""
    typed = read_pack(POWER, {**PLATE, **plate})
    assert not typed.faults
    shot = {"current": current, "start": 30.0} | ({} if on is None else {"on": on})
    return judge(SHOP.drills, POWER, {**known_of(POWER, typed.pack), **shot})


def answers(judgement: Judgement) -> dict[str, float]:
    """The answers by their names."""
    return {one.step.answer: one.worked.value for one in judgement.answers}


def test_every_answer_by_its_own_formula() -> None:
    """Each answer equals the formula written out here, from mt-formulas sections 9 and 10."""
    got = answers(judged(2546))
    share = 0.25 * (3600 / 2546) ** 2
    assert got["allowed"] == pytest.approx(share, rel=1e-9)
    assert got["longest"] == pytest.approx(share * 240, rel=1e-9)
    assert got["off"] == pytest.approx(5 / share - 5, rel=1e-9)
    assert got["shots"] == math.floor(3600 * share / 5)
    assert got["drop"] == pytest.approx(2546 * 2 * 0.1608 * 10 / 1000, rel=1e-9)
    assert got["heat"] == pytest.approx(2546**2 * 2 * 0.1608 * 10 / 1000, rel=1e-9)
    warm = (30 + 234) * 10 ** ((2546 / 211600) ** 2 * 5 / 0.0297) - 234
    assert got["hot"] == pytest.approx(warm, rel=1e-4)


def test_published_lead_heating() -> None:
    """4/0 at 3600 A for 5 s from 30 degrees ends at about 61 degrees (mt-formulas 10.4), and is warned of over 60."""
    judgement = judged(3600)
    assert answers(judgement)["hot"] == pytest.approx(61, abs=0.5)
    assert any("above 60 °C" in text for text in judgement.warnings)


@pytest.mark.parametrize(
    ("current", "on", "able", "says"),
    [
        (3600, 5, True, ""),
        (3600.1, 5, False, "above what the pack is rated for"),
        (3600, 60, True, ""),
        (3600, 60.1, False, "longer than the duty allows"),
        (1000, None, True, ""),
    ],
)
def test_can_this_pack_do_it(current: float, on: float | None, able: bool, says: str) -> None:
    """The rated current and the time of one period are the limits, both included."""
    judgement = judged(current, on)
    assert judgement.able is able
    assert says in " ".join(judgement.unable)


def test_a_small_current_may_stay_on() -> None:
    """Where the root gives more than the whole time, all of it is allowed, and nothing is warned of."""
    judgement = judged(1000)
    assert (judgement.answers[0].worked.value > 1, judgement.answers[0].shown) == (True, 1)
    assert judgement.warnings == ()


def test_no_duty_above_the_rated_current() -> None:
    """Above the rated current the duty law says nothing; what the leads lose is still told."""
    assert set(answers(judged(4000))) == {"drop", "heat", "hot"}


def test_without_a_plate_nothing_is_said() -> None:
    """A pack of which only the leads are known is not judged able or unable."""
    leads = Pack("Shed", {"distance": 10.0}, "95 mm2")
    judgement = judge(SHOP.drills, POWER, {**known_of(POWER, leads), "current": 1000.0})
    assert judgement.able is None
    assert answers(judgement)["drop"] == pytest.approx(1000 * 2 * 0.206 * 10 / 1000)


@pytest.mark.parametrize(
    ("texts", "field", "says"),
    [
        ({**PLATE, "duty": "250 %"}, "duty", "at most 100 %"),
        ({**PLATE, "duty": "25"}, "duty", "at most 100 %"),
        ({**PLATE, "rated": "3600"}, "rated", "A unit is missing"),
        ({**PLATE, "rated": "3600 V"}, "rated", "does not measure this"),
        ({**PLATE, "period": "-4 min"}, "period", "above zero"),
        ({**PLATE, "lead": "5/0"}, "lead", "is no size of lead"),
        ({**PLATE, "distance": "10 A"}, "distance", "does not measure this"),
    ],
)
def test_a_bad_plate_is_named(texts: dict[str, str], field: str, says: str) -> None:
    """Each value of a plate that cannot be taken has its sentence."""
    assert says in read_pack(POWER, texts).faults[field]


def test_a_band_is_judged_by_its_lowest_current() -> None:
    """Of 600 to 750 A the lowest is what the pack must give; what will be set goes before it."""
    pack = read_pack(POWER, {"rated": "650 A", "duty": "25 %", "period": "4 min"}, "Shed").pack
    part = {"s": "6 in", "t": "1 in"}
    low = work_part(SHOP, Asked("prods", part, "I", pack))
    assert low.judgement is not None
    assert (low.judgement.able, low.judged_for) == (
        True,
        "Judged for the lowest current of the band, 600\u202fA.",
    )
    high = work_part(SHOP, Asked("prods", {**part, "current": "700 A"}, "I", pack))
    assert high.judgement is not None
    assert high.judgement.able is False


def test_passes_share_the_ammeter_current() -> None:
    """Through two passes 2000 A of the conductor are 1000 A on the pack (ASME V, T-754.2(b))."""
    part = {"OD": "4 in", "t": "0.5 in", "d": "1 in", "a": "500 A/in", "passes": "2"}
    made = work_part(SHOP, Asked("central-conductor", part, "I", Pack("P", {"rated": 1200.0})))
    assert made.result is not None
    assert made.judgement is not None
    assert (made.result.value, made.judgement.values["current"], made.judgement.able) == (2000, 1000, True)
    assert [line.symbol for lines in derived_lines(made.outcome) for line in lines] == ["meter"]


def test_from_a_band_no_working_follows() -> None:
    """The middle of a band is no value of the document, so no ammeter current is worked from it."""
    part = {"OD": "8 in", "t": "0.5 in", "d": "1 in", "place": "offset", "passes": "2"}
    made = work_part(SHOP, Asked("central-conductor", part, "I", Pack("P", {"rated": 1200.0})))
    assert derived_lines(made.outcome) == ((), ())
    assert made.judged_for == "Judged for the lowest current of the band, 300\u202fA."


def test_what_is_left_empty_of_a_shot_is_assumed_or_unknown() -> None:
    """The leads start at 30 degrees where nothing is said; the time on stays unknown."""
    assert read_shot(POWER, {}).values == {"start": 30.0}
