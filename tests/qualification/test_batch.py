"""A batch: each case by itself, a faulty one gets its sentence and the others go on."""

from __future__ import annotations

import pytest

from tests.qualification.making import schemes
from tests.work import calls_in
from trainer.qualification import FaultyHistory, Outcome, judge_batch

SIGNED = "entered_by: {person: Ian, role: clerk}, countersigned_by: {person: Emma, role: level_iii}"
TRAINING = f"{{id: e1, kind: training, method: MT, hours: 12, mode: classroom, date: 2025-01-02, {SIGNED}}}"


def case(
    identity: str, entries: str = "[]", scheme: str = "SNT-2020", on: str = "2025-06-30", more: str = ""
) -> str:
    """One case on four lines."""
    return f"- id: {identity}\n  scheme: {scheme}\n  level: 1\n  on: {on}\n{more}  history: {entries}\n"


def outcomes(text: str | bytes) -> list[Outcome]:
    """The outcomes of a batch."""
    return list(judge_batch(text, "all.yaml", schemes()))


FAULTY = {
    "unknown scheme": (case("B", scheme="SNT-1066"), "all.yaml:7: case B: scheme 'SNT-1066' is not known"),
    "impossible day": (case("B", on="2025-02-30"), "all.yaml:9: case B: on '2025-02-30' is not a day"),
    "unknown key": (case("B", more="  colour: red\n"), "all.yaml:10: case B: 'colour' is not known here"),
    "faulty entry": (
        case("B", "\n  - " + TRAINING.replace("hours: 12", "hours: 1e1")),
        "all.yaml:11: entry e1: hours '1e1' is not a plain decimal",
    ),
    "double key": (
        case("B", "\n  - " + TRAINING.replace("hours: 12", "hours: 12, hours: 13")),
        "all.yaml:11: entry e1: 'hours' is written twice",
    ),
    "alias": (case("B", "\n  - " + TRAINING.replace("hours: 12", "hours: &h 12")), "all.yaml:11: entry e1: write the"),
    "anchor on a case": (case("B").replace("- id: B", "- &mine\n  id: B"), "all.yaml:6: case B: write the value out"),
    "double key of a case": (case("B", more="  level: 2\n"), "all.yaml:10: case B: 'level' is written twice"),
    "doubled id": (case("A"), "all.yaml:6: case A: this id was used before"),
    "no level of the scheme": (case("B", scheme="ACCP-II"), "all.yaml:6: case B: ACCP-II is judged at Level II only"),
    "no mapping": ("- just text\n", "all.yaml:6: case number 2: a case must be a mapping"),
    "no id": (case("B").replace("id: B", "note: x"), "all.yaml:6: case number 2: 'id' is missing"),
    "practice without reason": (
        case("B", more="  written_practice: {based_on: SNT-2020, revision: 1, in_force: 2024-01-01,\n"
             "    approved_by: {person: Emma, role: level_iii}, overrides: {training.I: {value: 14}}}\n"),
        "all.yaml:11: written_practice: 'training.I' has no reason",
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", FAULTY)
def test_a_faulty_case_does_not_stop_the_others(name: str) -> None:
    """The faulty case has its sentence, with file, line and entry or case; those around it are judged."""
    text, says = FAULTY[name]
    first, faulty, last = outcomes(case("A", f"[{TRAINING}]") + text + case("C", f"[{TRAINING}]"))
    assert faulty.standing is None
    assert faulty.error is not None
    assert faulty.error.startswith(says), faulty.error
    for good in (first, last):
        assert good.standing is not None
        assert good.standing.prerequisites[0].have == 12


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("cases: []", "is one list"),
        ("- id: [", "cannot be read as YAML"),
        (b"- id: caf\xe9", "not UTF-8"),
        (b"#" * 16_000_001, "bytes"),
        ("- 1\n" * 10_001, "more than 10,000 cases"),
        ("- " * 3000 + "x", "nested deeper"),
    ],
)
def test_a_file_that_is_no_batch(text: str | bytes, says: str) -> None:
    """A file that cannot be read as a list is refused as a whole, for a few calls a byte at most."""

    def whole() -> None:
        with pytest.raises(FaultyHistory) as caught:
            outcomes(text)
        told.append(str(caught.value))

    told: list[str] = []
    outcomes("[]")  # what is read once only
    assert calls_in(whole) < 1000 + 5 * len(text)
    assert says in told[0]


def test_as_many_cases_as_may_be_are_told_one_by_one() -> None:
    """A list of ten thousand is no list too long."""
    assert sum(outcome.error is not None for outcome in outcomes("- 1\n" * 10_000)) == 10_000


def test_what_is_amiss_before_the_first_case_is_told_with_it() -> None:
    """An anchor on the list itself is the fault of nobody further down."""
    first, last = outcomes("&all\n" + case("A", f"[{TRAINING}]") + case("B", f"[{TRAINING}]"))
    assert str(first.error).startswith("all.yaml:1: case A: write the value out instead of the anchor 'all'")
    assert last.standing is not None


@pytest.mark.parametrize("faulty", range(3))
def test_cases_on_one_line_are_told_apart_by_column(faulty: int) -> None:
    """As programs write lists: a doubled key is the fault of the case that holds it, and of no other."""
    cases = [
        f'{{id: {name}, scheme: SNT-2020, level: 1, "on": 2025-06-30, history: [{TRAINING}]' for name in "ABC"
    ]
    text = ", ".join(one + (", id: D}" if place == faulty else "}") for place, one in enumerate(cases))
    found = outcomes(f"[{text}]")
    assert [outcome.error is not None for outcome in found] == [place == faulty for place in range(3)]
    assert "'id' is written twice" in str(found[faulty].error)


def test_persons_and_practices_of_a_case() -> None:
    """A case names its person, who cannot countersign, and its written practice."""
    own = TRAINING.replace("Emma", "Tess")
    (only,) = outcomes(case("A", f"[{own}]", more="  person: Tess\n"))
    assert only.standing is not None
    assert only.standing.prerequisites[0].have == 0
    (only,) = outcomes(case("A", f"[{own}]"))
    assert only.standing is not None
    assert only.standing.prerequisites[0].have == 12


def test_a_thousand_people() -> None:
    """A batch of a thousand people is judged, each of them."""
    judged = outcomes("".join(case(f"P{n}", "\n  - " + TRAINING) for n in range(1000)))
    assert len(judged) == 1000
    assert all(outcome.standing for outcome in judged)


def test_work_grows_with_the_people_and_no_faster() -> None:
    """Twice as many people take about twice the work."""
    few, many = ("".join(case(f"P{n}", "\n  - " + TRAINING) for n in range(count)) for count in (100, 200))
    outcomes(few)  # what is read once only
    assert calls_in(lambda: outcomes(many)) < 2.2 * calls_in(lambda: outcomes(few))
