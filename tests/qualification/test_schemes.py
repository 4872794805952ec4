"""Schemes as data: the figures against what was published, and every fault of a file at once."""

from __future__ import annotations

from fractions import Fraction
from pathlib import Path

import pytest

from tests.qualification.making import SCHEMES, schemes
from trainer.errors import FaultyFiles, Unreadable
from trainer.qualification.scheme import QUANTITIES, UNCONFIRMED
from trainer.qualification.scheme_reader import read_scheme, read_schemes

IDS = {
    "SNT-2006",
    "SNT-2011",
    "SNT-2016",
    "SNT-2016-A1",
    "SNT-2020",
    "CP189-2016-A1",
    "NAS410-EN4179",
    "ISO9712-2005",
    "ISO9712-2012",
    "ISO9712-2021",
    "ACCP-II",
}
# Figure by figure: (scheme, key, value). Sources by their number in the scheme files:
# S03 consultancy page on SNT-TC-1A 2020; S04, S05, S06 training pages on the 2006 edition; S08 provider page on
# examinations; S01 SNT-TC-1A 2016 Addendum 1; S12 CP-189 2016; S13 study note; S15 to S17 NAS 410 / EN 4179 pages;
# S21 course page; S22 to S24, S26 ISO 9712:2021; S25, S27, S29, S31, S36, S37, S39 to S42 ISO 9712:2005 and 2012;
# S09 the page of the central programme.
PUBLISHED = [
    ("SNT-2006", "training.I", "12"),  # S04 S05 S06
    ("SNT-2006", "training_educated.I", "8"),  # S05 S06
    ("SNT-2006", "training_educated.II", "4"),  # S05 S06
    ("SNT-2006", "experience_method.I", "70"),  # S04 S05
    ("SNT-2006", "experience_method.II", "210"),  # S04 S05
    ("SNT-2020", "training.direct", "20"),  # S03
    ("SNT-2020", "experience_method.direct", "280"),  # S03
    ("SNT-2020", "experience_total.direct", "530"),  # S03
    ("SNT-2016", "practical.pass", "70"),  # S08
    ("SNT-2016-A1", "practical.pass", "80"),  # S01
    ("SNT-2016-A1", "composite.pass", "80"),  # S01
    ("SNT-2011", "retest.days", "30"),  # S08
    ("SNT-2011", "rehire.months", "6"),  # S13
    ("SNT-2006", "vision_near.distance", "30.48"),  # S04, 12 in
    ("CP189-2016-A1", "practical.pass", "80"),  # S12
    ("CP189-2016-A1", "rehire.months", "12"),  # S13
    ("NAS410-EN4179", "training.direct", "32"),  # S21
    ("NAS410-EN4179", "experience_method.I", "130"),  # S15
    ("NAS410-EN4179", "experience_method.direct", "530"),  # S15
    ("NAS410-EN4179", "general.questions", "40"),  # S16 S17
    ("NAS410-EN4179", "specific.questions", "30"),  # S16 S17
    ("ISO9712-2012", "training.direct", "40"),  # S40
    ("ISO9712-2012", "experience_method.direct", "4"),  # S25 S40
    ("ISO9712-2012", "recertification.days", "7"),  # S36
    ("ISO9712-2012", "results.years", "2"),  # S31
    ("ISO9712-2021", "training.direct", "5"),  # S22 S78
    ("ISO9712-2021", "experience_method.I", "15"),  # S23 S24
    ("ISO9712-2021", "experience_method.II", "45"),  # S23 S24
    ("ISO9712-2021", "experience.day_most_hours", "12"),  # S23
    ("ACCP-II", "training.II", "40"),  # S09
    ("ACCP-II", "experience_method.II", "265"),  # S09
]
# What rests on memory must say so (the list of unconfirmed figures that goes with the schemes).
FROM_MEMORY = [
    ("SNT-2006", "training.direct"),
    ("SNT-2006", "experience_method.direct"),
    ("SNT-2011", "training.I"),
    ("SNT-2016", "experience_total.II"),
    ("SNT-2016", "certificate.years"),
    ("SNT-2020", "training.I"),
    ("SNT-2020", "vision_colour.years"),
    ("SNT-2020", "practical.pass"),
    ("SNT-2020", "general.questions"),
    ("SNT-2020", "weights"),
    ("CP189-2016-A1", "composite.pass"),
    ("CP189-2016-A1", "vision_near.months"),
    ("NAS410-EN4179", "training.I"),
    ("NAS410-EN4179", "certificate.years"),
    ("ISO9712-2005", "experience_method.I"),
    ("ISO9712-2012", "general.questions"),
    ("ISO9712-2012", "retest.months"),
    ("ISO9712-2021", "general.pass"),
    ("ISO9712-2021", "practical.judged"),
]


def test_all_schemes_are_shipped() -> None:
    """Eleven schemes are there, each under its own id."""
    assert set(schemes()) == IDS


@pytest.mark.parametrize(("scheme", "key", "value"), PUBLISHED)
def test_a_published_figure(scheme: str, key: str, value: str) -> None:
    """A figure that was read has the value that was read, and names where."""
    figure = schemes()[scheme].figure(key)
    assert figure.value == Fraction(value)
    assert figure.sources
    assert all(source in schemes()[scheme].sources for source in figure.sources)


@pytest.mark.parametrize(("scheme", "key"), FROM_MEMORY)
def test_memory_says_so(scheme: str, key: str) -> None:
    """A figure from memory asks for a look into one's own copy."""
    figure = schemes()[scheme].figure(key)
    assert figure.unconfirmed
    assert UNCONFIRMED in figure.cited


def test_accp_rests_on_nothing_remembered() -> None:
    """The central programme's figures were all read on its page."""
    assert schemes()["ACCP-II"].unconfirmed() == []


@pytest.mark.parametrize("identity", sorted(IDS))
def test_every_figure_is_placed(identity: str) -> None:
    """Every figure has a document, an edition, a status and a confidence; direct is the sum of both levels."""
    scheme = schemes()[identity]
    for key, figure in scheme.figures.items():
        assert key in QUANTITIES
        assert figure.document
        assert figure.edition
        assert figure.status in ("seen", "seen-2", "memory", "ours")
        assert figure.confidence in ("high", "medium", "low")
        assert bool(figure.sources) == figure.status.startswith("seen")
    for name in ("training", "experience_method", "experience_total"):
        if scheme.routes and scheme.holds(f"{name}.I"):
            steps = [scheme.number(f"{name}.{step}") or 0 for step in ("I", "II", "direct")]
            assert steps[0] + steps[1] == steps[2]


def test_nothing_is_filled_by_analogy() -> None:
    """Where no figure was found there is none: no row is made of it."""
    assert not schemes()["SNT-2006"].holds("experience_total.I")
    assert not schemes()["ISO9712-2005"].holds("training.I")
    assert not schemes()["CP189-2016-A1"].holds("general.questions")
    assert not schemes()["NAS410-EN4179"].holds("rehire.months")
    assert not schemes()["ISO9712-2021"].holds("retest.waiver")


SMALL = """\
id: OURS-1
document: A shop's own document
edition: "1"
nature: invented for a test
levels: [I, II]
overrides: any
figures:
  training.I: {value: 10, unit: h, status: ours, confidence: high}
  training.II: {value: 5.5, unit: h, status: ours, confidence: high}
  training.direct: {value: 15.5, unit: h, status: ours, confidence: high}
"""


def test_a_scheme_is_one_file() -> None:
    """A small scheme of one's own is read, with exact decimals."""
    scheme = read_scheme(SMALL, "OURS-1.yaml")
    assert scheme.family == "OURS"
    assert scheme.number("training.II") == Fraction(11, 2)


@pytest.mark.parametrize(
    ("old", "new", "place", "says"),
    [
        ("training.II:", "training.III:", "9:", "not a figure"),
        ("15.5,", "16,", "10:", "sum of Level I and Level II"),
        ("unit: h, status: ours, confidence: high}\n  training.II", "unit: m, status: ours, confidence: high}\n  training.II", "8:", "unit h"),
        ("value: 10", "value: -1", "8:", "number from 0"),
        ("value: 10", "value: ten", "8:", "number from 0"),
        ("value: 10, unit: h, status: ours", "value: 10, unit: h, status: seen", "8:", "name its sources"),
        ("value: 10, unit: h, status: ours", "value: 10, unit: h, status: sure", "8:", "figures.training.I.status"),
        ("levels: [I, II]", "levels: [I, IV]", "5:", "levels.1"),
        ("nature: invented for a test\n", "", "1:", "nature: this is missing"),
        ("overrides: any", "overrides: any\ncolour: blue", "7:", "colour: this name is not known"),
        ("id: OURS-1", "id: ours", "1:", "id:"),
        ("  training.direct:", "  general.pass: {value: 70, unit: pct, status: ours, confidence: high}\n  training.direct:", "8:", "examinations need"),
        ("  training.direct:", "  absence.years: {value: 1, unit: years, status: ours, confidence: high}\n  training.direct:", "10:", "together with 'absence.sum_days'; add it"),
        ("  training.direct:", "  rehire.months: {value: 6, unit: months, status: ours, confidence: high}\n  training.direct:", "10:", "together with 'certificate.years'; add it"),
        ("training.I: {value: 10, unit: h", "training.I: {value: 10, unit: days", "8:", "experience.day_hours"),
        (
            "training.I: {value: 10, unit: h",
            "experience.day_hours: {value: 0, unit: h, status: ours, confidence: high}\n  training.I: {value: 10, unit: days",
            "8:",
            "must be above 0",
        ),
        ("  training.direct: {value: 15.5, unit: h, status: ours, confidence: high}\n", "", "8:", "also needed for direct"),
        ("levels: [I, II]", "levels: [I, I]", "5:", "levels"),
        ("value: 10, unit: h, status: ours", "value: 10, unit: h, status: seen, sources: [S99]", "8:", "S99 is not described"),
        ("training.I: {value: 10, unit: h", "weights: {value: 3", "8:", "'weights' must be equal"),
    ],
)  # fmt: skip
def test_a_fault_names_its_place(old: str, new: str, place: str, says: str) -> None:
    """A fault of a scheme file is told with its line and in words."""
    assert old in SMALL
    with pytest.raises(FaultyFiles) as caught:
        read_scheme(SMALL.replace(old, new), "OURS-1.yaml")
    assert any(
        f"OURS-1.yaml:{place}" in str(fault) and says in fault.says for fault in caught.value.faults
    ), str(caught.value)


def test_all_faults_of_all_files_at_once(tmp_path: Path) -> None:
    """Two broken files and one misnamed one are reported together."""
    (tmp_path / "A-1.yaml").write_text(SMALL.replace("value: 10", "value: ten"), encoding="utf-8")
    (tmp_path / "B-1.yaml").write_text("id: [", encoding="utf-8")
    (tmp_path / "C-1.yaml").write_text(SMALL, encoding="utf-8")
    with pytest.raises(FaultyFiles) as caught:
        read_schemes(tmp_path)
    assert {fault.file for fault in caught.value.faults} == {"A-1.yaml", "B-1.yaml", "C-1.yaml"}
    with pytest.raises(Unreadable):
        read_schemes(tmp_path / "nowhere")


def test_the_shipped_files_carry_no_address() -> None:
    """The scheme files point to no machine and no page in the network."""
    for path in SCHEMES.glob("*.yaml"):
        assert "http" not in path.read_text(encoding="utf-8")
