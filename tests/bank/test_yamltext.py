"""Bank text: plain data with places; whatever hides what a file says is a fault."""

from __future__ import annotations

import time

import pytest

from trainer.bank.yamltext import LARGEST, places, read_yaml
from trainer.errors import Fault, FaultyFiles


def _faults(text: str | bytes) -> tuple[Fault, ...]:
    with pytest.raises(FaultyFiles) as caught:
        read_yaml(text, "x.yaml")
    return caught.value.faults


def test_scalars_are_those_of_yaml_1_2() -> None:
    """Only true and false are booleans; days, times and no stay text."""
    text = "{a: true, b: no, c: 2026-11-25, d: 1:30, f: 1.5, g: 7, h: '7', i: ~, j: 1e3, k: .5}"
    assert read_yaml(text, "x").data == {
        "a": True, "b": "no", "c": "2026-11-25", "d": "1:30", "f": 1.5, "g": 7, "h": "7", "i": None,
        "j": 1000.0, "k": 0.5,
    }  # fmt: skip


def test_a_number_without_end_stays_text() -> None:
    """Thousands of digits are never worked out."""
    digits = "9" * 5000
    assert read_yaml(f"[{digits}, {digits}.5]", "x").data == [digits, f"{digits}.5"]


def test_values_remember_where_they_stood() -> None:
    """Line and column of a value, or of the nearest thing around a missing one."""
    located = read_yaml("a: 1\nb:\n  - x\n  - {c: 2}\n", "x")
    assert located.mark(("b", 1, "c")) == (4, 9)
    assert located.mark(("b", 1, "missing")) == (4, 5)
    assert (("b", 1, "c"), 2) in list(places(located.data))


def test_all_faults_come_at_once_with_their_places() -> None:
    """A doubled key, a tag and a merge key in one file are three faults."""
    faults = _faults("a: 1\na: 2\nb: !python/object:os.system x\nc: {<<: {d: 1}}\n")
    assert [(f.line, f.column) for f in faults] == [(2, 1), (3, 4), (4, 5)]
    assert "the key 'a' stands twice" in faults[0].says
    assert "tags such as" in faults[1].says
    assert "merge keys" in faults[2].says


@pytest.mark.parametrize("sign", ["\x00", "\x07", "\x0c", "\x7f", "\ud800", "\ufffe"])
def test_a_sign_that_is_no_text_is_found_at_its_place(sign: str) -> None:
    """A form feed copied from elsewhere is told by its code and where it stands, after letters of several bytes too."""
    (fault,) = _faults(f"a: 1\nñ: año\n\nb: é{sign}\n\n")
    assert (fault.line, fault.column) == (4, 5)
    assert fault.says == f"this is not YAML (the sign U+{ord(sign):04X} is no text): take it out"


def test_anchor_alone_is_a_fault() -> None:
    """An anchor that nothing uses is refused too, and an ampersand in text is not."""
    fault = _faults("a: 1\nb: &here 2\n")[0]
    assert (fault.line, fault.column) == (2, 4)
    assert "&here" in fault.says
    assert read_yaml("a: nuts & bolts\n", "x").data == {"a": "nuts & bolts"}


def test_alias_is_a_fault() -> None:
    """An alias is told to be written out."""
    assert any("write the value out" in f.says for f in _faults("a: &x [1]\nb: *x\n"))


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("[" * 100_000, "nested deeper"),
        ("{a: " * 200 + "1" + "}" * 200, "nested deeper"),
        ("".join("  " * i + "a:\n" for i in range(50)), "nested deeper"),
        (b"a: \xff\n", "not UTF-8"),
        ("a: '", "not YAML"),
        ("a: 1\n b: 2", "not YAML"),
        ("a: 1\n---\nb: 2\n", "not YAML"),
        ("a: \x00", "YAML"),
        ("x" * (LARGEST + 1), "larger than"),
        ("{[1]: 2}", "a key must be"),
        ("a: &a [x]\n" + "".join(f"b{i}: [*a, *a]\n" for i in range(2000)), "anchors"),
    ],
)
def test_hostile_text_is_refused_quickly(text: str | bytes, says: str) -> None:
    """Deep, large, broken and bomb-like files get a sentence in less than a second of work."""
    began = time.process_time()
    faults = _faults(text)
    assert time.process_time() - began < 1
    assert any(says in f.says for f in faults)
    assert len(faults) <= 50


def test_byte_order_mark_is_taken() -> None:
    """What an editor on Windows saves is read."""
    assert read_yaml(b"\xef\xbb\xbfa: 1\n", "x").data == {"a": 1}
