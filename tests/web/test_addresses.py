"""Addresses of pages: known after the first time, and the same as Flask's own."""

from __future__ import annotations

from flask import Flask, url_for
from werkzeug.routing import Map, Rule

from tests.work import calls_in
from trainer.web.addresses import LateRule, address


def test_an_address_is_flasks_own_and_known_the_second_time(app: Flask) -> None:
    """Values, an anchor, and the folder that the program stands under all tell; the second time costs a fraction."""
    for root in ("", "/shop"):
        with app.test_request_context("/", base_url=f"http://localhost{root}"):
            for values in ({"drill": "a b"}, {"drill": "a b", "_anchor": "what"}, {"drill": 1, "find": "I"}):
                found = address("trainee.drills", **values)
                assert found == url_for("trainee.drills", **values)
                assert found.startswith(f"{root}/trainee/drills?")
    with app.test_request_context("/"):
        first = calls_in(lambda: address("trainee.home", fresh=1))
        assert calls_in(lambda: address("trainee.home", fresh=1)) < first / 3


def test_an_address_with_the_machines_name_is_built_for_who_asks(app: Flask) -> None:
    """What one browser calls this machine is not told to another."""
    for host in ("localhost", "127.0.0.1"):
        with app.test_request_context("/", base_url=f"http://{host}"):
            assert address("trainee.home", _external=True) == f"http://{host}/trainee/"


def test_a_rule_is_compiled_when_its_first_address_is_wanted() -> None:
    """A start costs less than half as much a page, and the addresses are those of the usual rule."""
    where, values = "/practice/<int:number>/<rung>", {"number": 7, "rung": "formula", "of": "x"}

    def laid(kind: type[Rule]) -> Map:
        return Map([kind(where, endpoint="help")])

    assert calls_in(lambda: laid(LateRule)) < calls_in(lambda: laid(Rule)) / 2
    late, usual = (laid(kind).bind("localhost") for kind in (LateRule, Rule))
    for _ in range(2):
        assert late.build("help", values) == usual.build("help", values) == "/practice/7/formula?of=x"
