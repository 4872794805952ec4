"""Reading a history: every listed error is one sentence with file, line and entry; nothing hostile hurts."""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from typing import Any

import pytest

from tests.qualification.making import (
    certificate,
    entry,
    experience,
    near,
    practical,
    reversal,
    schemes,
    text_of,
    training,
    written,
)
from tests.work import calls_in
from trainer.qualification import FaultyHistory, History, read_history, write_history
from trainer.qualification.entries import Absence, Experience, Training
from trainer.qualification.reading.notation import MOST_FAULTS, read_written

FIRST = experience("e1", 4)


def refused(text: str | bytes) -> str:
    """The sentence with which a history is refused."""
    with pytest.raises(FaultyHistory) as caught:
        read_history(text, "tess.yaml", schemes())
    assert caught.value.exit_code == 2
    assert "\n" not in str(caught.value)
    return str(caught.value)


def edited(made: dict[str, Any], **changes: Any) -> dict[str, Any]:
    """An entry with fields changed; a change to none takes the field away."""
    changed = {**made, **{"from" if key == "since" else key: value for key, value in changes.items()}}
    return {key: value for key, value in changed.items() if value is not None}


RUN = edited(
    FIRST, id="e2", date=None, hours=None, since="2025-03-03", to="2025-03-07", shifts=5, hours_each=8
)
SPECIMEN = {"specimen": "P1", "checkpoints": 10, "marks": 9, "of": 10}
FAULTS: dict[str, tuple[dict[str, Any], str]] = {
    "unknown key": (edited(FIRST, id="e2", colour="red"), "'colour' is not known here"),
    "unknown kind": (edited(FIRST, id="e2", kind="holiday"), "kind 'holiday' is not known"),
    "unknown role": (edited(FIRST, id="e2", entered_by={"person": "Ian", "role": "boss"}), "role 'boss'"),
    "unknown role of the countersigner": (
        edited(FIRST, id="e2", countersigned_by={"person": "Emma", "role": "boss"}),
        "role 'boss'",
    ),
    "unknown key in a signature": (
        edited(FIRST, id="e2", entered_by={"person": "Ian", "role": "clerk", "day": "x"}),
        "'day' is not known",
    ),
    "unknown scheme": (certificate("e2", "2025-01-01", "SNT-1066"), "scheme 'SNT-1066' is not known"),
    "unknown scheme of a sitting": (
        written("e2", "general", "2025-01-01", 30, 40, scheme="X-1"),
        "scheme 'X-1' is not known",
    ),
    "missing field": (edited(FIRST, id="e2", method=None), "'method' is missing"),
    "missing day": (edited(FIRST, id="e2", date=None), "'date' is missing"),
    "missing signature": (edited(FIRST, id="e2", entered_by=None), "'entered_by' is missing"),
    "missing kind": (edited(FIRST, id="e2", kind=None), "'kind' is missing"),
    "impossible date": (edited(FIRST, id="e2", date="2025-02-29"), "'2025-02-29' is not a day"),
    "date in another form": (edited(FIRST, id="e2", date="1.2.2025"), "write year-month-day"),
    "date without hyphens": (edited(FIRST, id="e2", date="20250201"), "write year-month-day"),
    "from after to": (edited(RUN, since="2025-03-08"), "lies after"),
    "from without to": (edited(RUN, to=None), "'to' is missing"),
    "date beside from": (edited(RUN, date="2025-03-03"), "not both"),
    "exponent": (edited(FIRST, id="e2", hours="1e1"), "not a plain decimal"),
    "sign": (edited(FIRST, id="e2", hours="-4"), "not a plain decimal"),
    "comma": (edited(FIRST, id="e2", hours="4,5"), "not a plain decimal"),
    "not a number": (edited(FIRST, id="e2", hours="nan"), "not a plain decimal"),
    "full-width digits": (edited(FIRST, id="e2", hours="４"), "not a plain decimal"),
    "list for a number": (edited(FIRST, id="e2", hours=[4]), "must be a plain decimal"),
    "half a shift": (edited(RUN, shifts="4.5"), "not a whole number"),
    "right above of": (written("e2", "general", "2025-01-01", 41, 40), "more right than"),
    "marks above of": (practical("e2", "2025-01-01", 11, 10), "marks lie above of"),
    "marks above of in the instruction": (
        practical("e2", "2025-01-01", instruction={"marks": 16, "of": 15}),
        "marks lie above of",
    ),
    "of 0 questions": (written("e2", "general", "2025-01-01", 0, 0), "from 1 on"),
    "of 0 marks": (practical("e2", "2025-01-01", 0, 0), "of is 0"),
    "percent off": (
        written("e2", "general", "2025-01-01", 28, 40, percent="70.06"),
        "does not agree with 70.00",
    ),
    "percent of a specimen off": (
        practical("e2", "2025-01-01", specimens=[{**SPECIMEN, "percent": 91}]),
        "does not agree with 90.00",
    ),
    "more shifts than days": (edited(RUN, shifts=6), "6 shifts do not fit into 5 days"),
    "25 hours a day": (edited(FIRST, id="e2", hours="24.5"), "do not fit into a day"),
    "25 hours a shift": (edited(RUN, hours_each=25), "do not fit into a day"),
    "training of 25 hours a day": (
        training("e2", 49, since="2025-03-03", to="2025-03-04"),
        "do not fit into 2 days",
    ),
    "past midnight": (edited(FIRST, id="e2", start="21:00"), "past midnight"),
    "no time of day": (edited(FIRST, id="e2", start="7:30"), "not a time of day"),
    "start in a run": (edited(RUN, start="07:30"), "start goes only with"),
    "start in the laboratory": (
        edited(FIRST, id="e2", start="07:30", nature="laboratory"),
        "start goes only with",
    ),
    "split not the sum": (
        edited(FIRST, id="e2", method=None, methods=["MT", "PT"], split={"MT": 1, "PT": 2}),
        "adds up to 3 h",
    ),
    "split into another method": (
        edited(FIRST, id="e2", method=None, methods=["MT", "PT"], split={"MT": 1, "UT": 3}),
        "'UT' is not known here; this split takes MT or PT",
    ),
    "split of one method": (
        edited(FIRST, id="e2", split={"MT": 2, "PT": 2}),
        "; a split (which needs methods) takes MT",
    ),
    "one method in a list": (edited(FIRST, id="e2", method=None, methods=["MT"]), "2 or more"),
    "method and methods": (edited(FIRST, id="e2", methods=["MT", "PT"]), "not both"),
    "small letters": (edited(FIRST, id="e2", method="mt"), "capital letters"),
    "hours in a run": (edited(RUN, hours=5), "does not go with these days"),
    "shifts on a day": (edited(FIRST, id="e2", shifts=1), "does not go with these days"),
    "double id": (edited(FIRST), "was used before"),
    "reversal of a later entry": (reversal("e2", "e3"), "stands nowhere earlier"),
    "reversal of itself": (reversal("e2", "e2"), "stands nowhere earlier"),
    "remedial for a later entry": (training("e2", 4, remedial_for="e9"), "stands nowhere earlier"),
    "remedial for no sitting": (training("e2", 4, remedial_for="e1"), "no examination"),
    "questions in a practical": (
        practical("e2", "2025-01-01", right=3),
        "right does not belong to a practical",
    ),
    "specimens in a written part": (
        written("e2", "general", "2025-01-01", 30, 40, specimens=[]),
        "specimens does not belong",
    ),
    "no specimens": (practical("e2", "2025-01-01", specimens=[]), "list of 1 to"),
    "methods as a word": (edited(FIRST, id="e2", method=None, methods="MT, PT"), "must be a list such as"),
    "about what": (entry("e2", "decision", date="2025-01-01", what="waived", about=[[1]]), "list of texts"),
    "empty text": (edited(FIRST, id="e2", method="  "), "between 1 and"),
    "level III": (certificate("e2", "2025-01-01", "SNT-2020", "III"), "level 'III' is not known"),
    "boolean in quotes": (training("e2", 4, hours_tracked="true"), "write true or false unquoted"),
    "boolean of YAML 1.1": (training("e2", 4, hours_tracked="yes"), "no boolean"),
    "unknown chart": (near("e2", "2025-01-01", chart="jaeger_3"), "chart 'jaeger_3'"),
    "restricted near vision": (near("e2", "2025-01-01", result="restricted"), "result 'restricted'"),
    "chart of a colour check": (
        entry("e2", "vision", test="colour", date="2025-01-01", result="pass", chart="other"),
        "belongs to a near-vision check",
    ),
    "until before the grant": (
        certificate("e2", "2025-01-01", "SNT-2020", until="2024-12-31"),
        "lies before",
    ),
    "text for an entry": ("just text", "must be a mapping"),  # type: ignore[dict-item]  # that is the fault
}


@pytest.mark.parametrize("name", FAULTS)
def test_each_error_is_a_sentence(name: str) -> None:
    """Each listed error names the file, the line of the entry, the entry, and what is wrong."""
    made, says = FAULTS[name]
    sentence = refused(text_of(FIRST, made))
    identity = "number 2" if name == "text for an entry" else made.get("id", "e2")
    assert sentence.startswith(f"tess.yaml:4: entry {identity}"), sentence
    assert says in sentence, sentence


def test_reversal_of_a_reversal() -> None:
    """A reversal cannot be reversed: the right fact is entered anew."""
    assert "itself a reversal" in refused(text_of(FIRST, reversal("e2", "e1"), reversal("e3", "e2")))


def test_the_first_fault_is_told_and_all_are_kept() -> None:
    """The sentence is about the first fault; a page can show every faulty entry."""
    bad = edited(FIRST, id="e2", hours="x"), edited(FIRST, id="e3", method="mt")
    with pytest.raises(FaultyHistory) as caught:
        read_history(text_of(FIRST, *bad), "tess.yaml", schemes())
    assert [fault.line for fault in caught.value.faults] == [4, 5]
    assert str(caught.value).startswith("tess.yaml:4: entry e2: hours 'x'")


YAML_HEAD = "person: Tess\nhistory:\n"
SIGNED = "entered_by: {person: Ian, role: clerk}"
NOTATION = {
    "double key": (f"- {{id: e1, kind: work, method: MT, method: PT, date: 2025-01-01, {SIGNED}}}", "written twice"),
    "anchor": (f"- {{id: e1, kind: work, method: &m MT, date: 2025-01-01, {SIGNED}}}", "anchor 'm'"),
    "alias": (f"- {{id: e1, kind: work, method: *m , date: 2025-01-01, {SIGNED}}}", "alias 'm'"),
    "tag": (f"- {{id: e1, kind: work, method: !!str MT, date: 2025-01-01, {SIGNED}}}", "take the tag"),
    "own tag": (f"- {{id: e1, kind: work, method: !!python/name:os.system x, date: 2025-01-01, {SIGNED}}}", "take the tag"),
}  # fmt: skip


@pytest.mark.parametrize("name", NOTATION)
def test_hidden_notation_is_refused(name: str) -> None:
    """Doubled keys, anchors, aliases and tags are faults of the entry that holds them."""
    line, says = NOTATION[name]
    sentence = refused(YAML_HEAD + line)
    assert sentence.startswith("tess.yaml:3: ")
    assert says in sentence
    assert "entry e1" in sentence


def test_double_keys_at_the_top() -> None:
    """A doubled key outside the entries is a fault of the file."""
    assert refused("person: Tess\nperson: Omar\nhistory: []") == (
        "tess.yaml:2: 'person' is written twice; keep one of the two"
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("", "empty"),
        ("# nothing\n", "empty"),
        ("just words", "must be a mapping"),
        ("[1, 2]", "must be a mapping"),
        ("person: Tess", "'history' is missing"),
        ("history: {}", "must be a list"),
        ("history: []\nledger: []", "'ledger' is not known"),
        ("history: []\n---\nhistory: []", "second document"),
        ("history: [", "cannot be read as YAML"),
        ("history: []\n\tx: 1", "cannot be read as YAML"),
        ("? [a]\n: b", "a name is expected"),
        ("history: []\nwritten_practice: none", "must be a mapping"),
        ("history: []\nperson: [a]", "'person' must be one text"),
        ("history: []\nperson: \x07", "cannot be read as YAML"),
        (b"history: [] # caf\xe9", "not UTF-8"),
        (b"\xff\xfeh\x00", "not UTF-8"),
    ],
)
def test_a_file_that_is_no_history(text: str | bytes, says: str) -> None:
    """Whatever is not a history gets one sentence that begins with file and line."""
    sentence = refused(text)
    assert sentence.startswith("tess.yaml:")
    assert says in sentence


HOSTILE: dict[str, str | bytes] = {
    "too large": b"#" * 1_000_001,
    "too large text": "é" * 600_000,
    "deep brackets": "history: " + "[" * 100_000,
    "deep closed brackets": "history: " + "[" * 5_000 + "]" * 5_000,
    "deep mappings": "".join(" " * depth + "a:\n" for depth in range(1_000)),
    "laughing aliases": "a: &a [x,x]\nb: &b [*a,*a]\nc: &c [*b,*b]\nhistory: [*c]",
    "many values": "history: [" + "1," * 300_000 + "1]",
    "many entries": "history:\n" + "- 1\n" * 100_000,
    "long number": 'history: [{id: e1, kind: practice, date: 2025-01-01, hours: "' + "9" * 500_000 + '"}]',
    "long key": "history: []\n? " + "k" * 900_000 + "\n: 1",
    "zeros": b"\x00" * 1000,
    "flow of colons": "{" * 30 + ":" * 100_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_hostile_files_get_a_sentence_for_little_work(name: str) -> None:
    """Large, deep, self-referring and senseless files cost a few calls a byte at most, and get a short sentence."""
    sentences: list[str] = []
    text = HOSTILE[name]
    refused("")  # what is read once only
    assert calls_in(lambda: sentences.append(refused(text))) < 1000 + 5 * len(text)
    (sentence,) = sentences
    assert sentence.startswith("tess.yaml:")
    assert len(sentence) < 500


def test_json_with_tabs_and_escapes() -> None:
    """JSON as programs write it is read: tabs, escaped slashes, characters beyond the first plane."""
    text = '{\n\t"person": "T\\ud83d\\ude00\\/\\\\u0041",\n\t"history": []}'
    assert read_history(text, "tess.json") == History("T\U0001f600/\\u0041", ())


def test_both_forms_and_both_levels_are_equal() -> None:
    """YAML and JSON, level I and 1, number and text give the same history."""
    yaml_text = (
        "person: Tess\nhistory:\n- {id: e1, kind: training, method: MT, hours: 12.50, level: 1, mode: web,\n"
        "   date: 2025-03-03, entered_by: {person: Ian, role: clerk}}\n"
    )
    json_text = text_of(
        edited(training("e1", "12.50", level="I", date="2025-03-03", mode="web"), countersigned_by=None)
    )
    assert read_history(yaml_text, "a") == read_history(json_text, "b")
    (only,) = read_history("\ufeff" + yaml_text, "c").entries
    assert isinstance(only, Training)
    assert only.hours == Fraction(25, 2)


def test_on_is_a_word_and_days_are_text() -> None:
    """A method called ON is a method; `on`, `yes` and `no` are words, not booleans."""
    text = YAML_HEAD + f"- {{id: no, kind: work, method: ON, date: 2025-01-01, note: yes, {SIGNED}}}"
    (only,) = read_history(text, "a").entries
    assert (only.id, only.kept["note"]) == ("no", "yes")


def test_an_absence_may_last() -> None:
    """An absence without `to` has no last day; one with `date` is a single day."""
    lasting = entry("e1", "absence", since="2025-01-01", reason="other")
    single = entry("e2", "absence", date="2025-01-01", reason="other")
    first, second = read_history(text_of(lasting, single), "a").entries
    assert isinstance(first, Absence)
    assert first.last is None
    assert second.last == date(2025, 1, 1)


def test_work_may_reach_midnight_and_not_a_minute_past_it() -> None:
    """Four hours from eight in the evening on end the day; from a minute later they reach into the next."""
    (only,) = read_history(text_of(edited(FIRST, start="20:00")), "a").entries
    assert isinstance(only, Experience)
    assert only.start == 20 * 60
    assert "past midnight" in refused(text_of(edited(FIRST, start="20:01")))


def test_runs_and_days_keep_exact_hours() -> None:
    """Nine shifts of 7.25 h are 65.25 h exactly."""
    run = edited(RUN, to="2025-03-19", shifts=9, hours_each="7.25")
    (only,) = read_history(text_of(run), "a").entries
    assert isinstance(only, Experience)
    assert only.hours == Fraction("65.25")


def test_any_scheme_is_taken_where_none_are_given() -> None:
    """Without a list of schemes an entry may name any; with one it must be on it."""
    text = text_of(certificate("e1", "2025-01-01", "OURS-1"))
    assert read_history(text, "a").entries[0].id == "e1"
    assert "OURS-1" in refused(text)


EVERYTHING = [
    training("e1", "12.5", level="II", content="practical", hours_tracked=True, examination="passed", outline="O-1"),
    entry("e2", "practice", date="2025-01-02", hours=2, method="MT", note="drills"),
    edited(RUN, id="e3", method=None, methods=["MT", "PT"], split={"MT": "39.5", "PT": "0.5"}, site="yard"),
    experience("e4", "7.25", start="07:30", task="axles", level_held="I", evidence={"file": "a.pdf", "sha": ["x", True]}),
    entry("e5", "work", date="2025-01-02", method="MT", entered_on="2025-01-03", previous="ab", hash="cd"),
    written("e6", "specific", "2025-01-02", "15.97", 20, percent="79.85", scheme="SNT-2020", paper="S-3"),
    practical("e7", "2025-01-02", specimens=[{**SPECIMEN, "percent": 90}, {"marks": 1, "of": "2.5"}],
              instruction={"marks": 12, "of": 15, "percent": "80.0"}, purpose="recertification"),
    training("e8", 4, remedial_for="e6"),
    near("e9", "2025-01-02", distance_cm="30.5", eyes="both", corrected=True),
    entry("e10", "vision", test="colour", date="2025-01-02", result="restricted", restriction="no red"),
    certificate("e11", "2025-01-02", "SNT-2020", until="2026-01-01", number="7", scope="axles"),
    entry("e12", "employment", date="2025-01-02", event="rehired", employer="Tarn Valley", records_kept=False),
    entry("e13", "absence", since="2025-01-02", reason="other"),
    entry("e14", "absence", since="2025-01-02", to="2025-01-03", reason="course"),
    entry("e15", "education", date="2006-06-30", field="science", completed_years=3),
    entry("e16", "application", date="2025-01-02", scheme="ISO9712-2012", level="2", methods=["MT", "PT"]),
    entry("e17", "decision", date="2025-01-02", what="retest allowed", about=["e6", "e7"]),
    entry("e18", "decision", date="2025-01-02", what="nothing else", about="e6"),
    reversal("e19", "e5"),
]  # fmt: skip


def test_every_kind_with_every_field_comes_back() -> None:
    """All kinds, with all their fields, are the same after writing and reading, and after a second writing."""
    first = read_history(text_of(*EVERYTHING), "a", schemes())
    text = write_history(first)
    assert read_history(text, "b", schemes()) == first
    assert write_history(read_history(text, "c")) == text
    assert len({made.kind for made in first.entries}) == 13
    assert write_history(History(None, ())) == "history: []\n"


def test_too_many_entries() -> None:
    """A list beyond the bound is refused as a whole."""
    assert "more than 20,000 entries" in refused("history:\n" + "- 1\n" * 20_001)


def test_faults_beyond_number_are_not_kept() -> None:
    """Of a file with an anchor at every value so many are told as may be, and why it could not be read to its end."""
    faults = read_written("[" + "&a 1, " * (MOST_FAULTS + 500) + "[", "tess.yaml").faults
    assert len(faults) == MOST_FAULTS
    assert "cannot be read as YAML" in faults[-1].says
    assert len(read_written("[" + "&a 1, " * (MOST_FAULTS + 500) + "]", "tess.yaml").faults) == MOST_FAULTS


@pytest.mark.parametrize(
    ("source", "line", "column"),
    [
        ("person: Tess\n\thistory: []", 2, 1),
        ("person: Tess\nhistory: []\nb: c: d", 3, 5),
        ("person: Núñez \U0001f600\U0001f600\n\nb: é\x07\n\n\n\n", 3, 5),
        ("\ufeffperson: \x07", 1, 9),
        ("person: \ud800", 1, 9),
        (b"person: Tess\nhistory:\n- \xff", 3, 1),
        (b"\xffperson: Tess", 1, 1),
    ],
)
def test_what_cannot_be_read_is_found_at_its_place(source: str | bytes, line: int, column: int) -> None:
    """Line and column count signs, however many bytes each has; a byte that is no sign stands for its line."""
    (fault,) = read_written(source, "tess.yaml").faults
    assert (fault.line, fault.column) == (line, column)
