"""Work a part: published examples through the page, warnings, packs, hostile input, what was typed is kept."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from urllib.parse import urlencode

import pytest

from tests.conftest import Browser
from tests.make import NOW, People
from trainer.drills.shelf import Shelf
from trainer.services.teaching import packs
from trainer.shopwork.pack import Pack as Plate
from trainer.store import Database

COIL = {"L": "10 in", "D": "2 in", "coil": "12 in", "N": "5"}
FULL = Path(__file__).parents[2] / "question_bank"


@pytest.fixture(scope="session")
def shelf() -> Shelf:
    """The shipped bank: these pages are about its techniques."""
    return Shelf.of_folder(FULL)


def sheet(browser: Browser, technique: str, status: int = 200, **texts: str) -> str:
    """The sheet of a part as plain text of one line, tags left out."""
    response = browser.get(f"/work/{technique}/sheet?{urlencode(texts)}")
    assert response.status_code == status
    text = re.sub(r"<svg.*?</svg>|<math.*?</math>|<[^>]+>", " ", response.get_data(as_text=True), flags=re.S)
    return " ".join(unescape(text).replace("\u202f", " ").split())


def heading(browser: Browser, technique: str, **texts: str) -> str:
    """The heading of a sheet."""
    page = browser.get(f"/work/{technique}/sheet?{urlencode(texts)}").get_data(as_text=True)
    found = re.search(r"<h1>(.*?)</h1>", page)
    assert found
    return unescape(found[1]).replace("\u202f", " ")


@pytest.mark.parametrize(
    ("technique", "texts", "says"),
    [
        ("coil", COIL, "Current: 1800 A"),  # T.O. 33B-1-1, Table 3-3
        ("coil", {**COIL, "L": "254 mm", "unit": "kA"}, "Current: 1.8 kA"),
        ("coil", {**COIL, "N": "", "I": "1700 A"}, "Turns: 6"),
        ("prods", {"s": "6 in", "t": "1/2 in"}, "Current: 540 to 660 A"),  # mt-formulas 2.3, ASME V
        ("prods", {"s": "150 mm", "H": "2 kA/m", "rule": "iso"}, "Current: 750 A"),  # mt-formulas 2.3, ISO
        ("head-shot", {"D": "2 in"}, "Current: 600 to 1600 A"),
        ("yoke", {"m": "40 lb", "kind": "dc"}, "Lifting force: 177.93 N"),
    ],
)
def test_published_examples(
    people: People, as_tess: Browser, technique: str, texts: dict[str, str], says: str
) -> None:
    """The heading of the sheet is the result, in the unit asked for."""
    assert heading(as_tess, technique, **texts) == says


def test_the_sheet_says_all(people: People, as_tess: Browser) -> None:
    """Why, conditions not met, other documents, limits, cautions, source, and what governs stand on one sheet."""
    page = sheet(as_tess, "coil", **COIL)
    for says in (
        "The bore has at least ten times the area",
        "Not so here: The coil bore has less than twice",
        "ASME V, length up to 18 in",
        "Where it holds",
        "Where documents disagree",
        "Thousands of amperes arc",
        "T.O. 33B-1-1",
        "the written procedure governs",
    ):
        assert says in page, says
    raw = as_tess.get(f"/work/coil/sheet?{urlencode(COIL)}").get_data(as_text=True)
    assert (raw.count("<svg") > 1, "<math" in raw) == (True, True)


def test_outside_is_loud(people: People, as_tess: Browser) -> None:
    """A part outside the documented limits gets its result and a warning before everything else."""
    page = sheet(as_tess, "prods", s="9 in", t="1 in")
    assert page.index("farther than ASME V allows") < page.index("Where it holds")
    assert "900 to 1125 A" in page


def test_what_is_missing_is_asked_for(people: People, as_tess: Browser) -> None:
    """Without the bore no case is taken: the heading asks for it, other documents still answer."""
    assert heading(as_tess, "coil", **{**COIL, "coil": ""}) == "Not yet: give the coil bore (coil)"
    assert "NAVSEA allows neither" in sheet(as_tess, "yoke", m="40 lb", rule="navsea", kind="dc")


def test_a_pack_of_the_shop(store: Database, people: People, as_tess: Browser) -> None:
    """A pack that the instructor wrote down is chosen and judged: yes, how long, which wait, volts, heat."""
    with store.writing() as session:
        plate = Plate("Pack A", {"rated": 3600.0, "duty": 0.25, "period": 240.0, "distance": 10.0}, "4/0 AWG")
        made = packs.add(session, people.ian, plate, NOW).id
    assert "Pack A" in as_tess.get("/work/coil").get_data(as_text=True)
    page = sheet(as_tess, "coil", **COIL, pack=str(made), on="4 s")
    for says in ("Pack A can do it", "Least wait after each shot 0 s", "5.789 V", "Temperature of a lead"):
        assert says in page, says


def test_a_pack_written_down_on_the_spot(people: People, as_tess: Browser) -> None:
    """A pack that is not on the list is typed; what it cannot do is said first."""
    page = sheet(as_tess, "coil", **COIL, rated="1200 A", duty="20 %", period="4 min")
    assert "this pack cannot do it. Change the set-up" in page


def test_another_shops_pack_is_no_pack(store: Database, people: People, as_omar: Browser) -> None:
    """Omar can neither see nor choose it."""
    with store.writing() as session:
        plate = Plate("Secret pack", {"rated": 3600.0, "duty": 0.25, "period": 240.0})
        made = packs.add(session, people.ian, plate, NOW).id
    assert "Secret" not in as_omar.get("/work/coil").get_data(as_text=True)
    page = sheet(as_omar, "coil", 422, **COIL, pack=str(made))
    assert "There is no such pack" in page
    assert "Secret" not in page


@pytest.mark.parametrize(
    ("texts", "says"),
    [
        ({**COIL, "L": "10"}, "A unit is missing"),
        ({**COIL, "L": "<script>alert(1)</script>"}, "cannot hold"),
        ({**COIL, "L": "9**9**9 in"}, "One number is wanted"),
        ({**COIL, "D": "12 in"}, "does not go into the coil"),
        ({**COIL, "find": "Q"}, "is one of I, N"),
        ({**COIL, "unit": "mm"}, "cannot be written in"),
        ({**COIL, "rule": "x"}, "choose sheets"),
        ({**COIL, "pack": "x"}, "no such thing"),
        ({**COIL, "pack": "1", "rated": "3 A"}, "not both"),
        ({**COIL, "duty": "900 %"}, "at most 100 %"),
        ({**COIL, "lead": "9/0"}, "no size of lead"),
        ({**COIL, "on": "soon"}, "must begin with a number"),
    ],
)
def test_hostile_input(people: People, as_tess: Browser, texts: dict[str, str], says: str) -> None:
    """What cannot be taken gets one sentence, and what was typed is kept, escaped."""
    response = as_tess.get(f"/work/coil/sheet?{urlencode(texts)}")
    page = response.get_data(as_text=True)
    assert (response.status_code, says in unescape(page)) == (422, True)
    assert "<script>alert" not in page
    assert 'value="5"' in page


def test_a_fault_leads_to_its_field(people: People, as_tess: Browser) -> None:
    """The summary links to the field, which is marked and described."""
    page = as_tess.get(f"/work/coil/sheet?{urlencode({**COIL, 'L': '10'})}").get_data(as_text=True)
    assert 'href="#f-L"' in page
    assert 'id="f-L"' in page
    assert 'aria-describedby="f-L-fault f-L-hint"' in page


def test_the_values_can_be_changed(people: People, as_tess: Browser) -> None:
    """From the sheet a link leads back to the form with everything filled in."""
    page = as_tess.get(f"/work/coil/sheet?{urlencode(COIL)}").get_data(as_text=True)
    back = re.search(r'href="(/work/coil\?[^"]+)"', page)
    assert back
    form = as_tess.get(unescape(back[1])).get_data(as_text=True)
    assert all(f'value="{text}"' in form for text in COIL.values())


def test_too_much_in_the_address(people: People, as_tess: Browser) -> None:
    """A field of any length is cut, a name that is no field is left aside, repeats count once."""
    long = as_tess.get(f"/work/coil/sheet?{urlencode({**COIL, 'L': '1' * 4000})}")
    assert (long.status_code, "1" * 100 in long.get_data(as_text=True)) == (422, False)
    assert as_tess.get(f"/work/coil/sheet?{urlencode(COIL)}&Q=1&L=99+in&__class__=1").status_code == 200


def test_numbers_without_a_drawing(people: People, as_tess: Browser) -> None:
    """A part no sheet has room for is worked out and said not to be drawn."""
    page = sheet(as_tess, "coil", L="900000 in", D="1 in", coil="900 in", N="5")
    assert "Current: 600 A" in page


def test_every_technique_has_its_form(people: People, as_tess: Browser, as_emma: Browser) -> None:
    """Each technique of the list opens, for whoever is signed in; one that is not there is not found."""
    page = as_tess.get("/work/").get_data(as_text=True)
    links = re.findall(r'href="(/work/[a-z-]+)"', page)
    assert len(links) >= 6
    assert [as_emma.get(link).status_code for link in links] == [200] * len(links)
    assert as_tess.get("/work/nothing").status_code == 404
    assert as_tess.get("/work/nothing/sheet").status_code == 404
