"""Addresses of pages: known after the first time, and the same as Flask's own."""

from __future__ import annotations

from flask import Flask, url_for

from tests.work import calls_in
from trainer.web.addresses import address


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
