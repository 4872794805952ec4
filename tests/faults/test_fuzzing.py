"""Made-up answers, files and requests break nothing. Long form: fuzzing."""

from __future__ import annotations

import random
from collections.abc import Callable

import pytest
from flask import Flask

from tests.conftest import Browser
from tests.faults.fuzzing import TARGETS, bad, outcomes
from tests.faults.fuzzing.spoiling import text
from tests.house.test_routes import rules
from tests.make import People, make_person
from trainer.store import Database
from trainer.store.models import ROLES

FIELDS = (
    "answer", "key", "code", "drill", "find", "set", "title", "name", "works_number", "person_id", "class_id",
    "date", "hours", "reason", "minutes", "mark", "kind", "level", "before", "go", "entry", "form", "scheme",
)  # fmt: skip


@pytest.mark.parametrize(
    "target", [pytest.param(one, marks=pytest.mark.slow if one == "requests" else ()) for one in TARGETS]
)
def test_nothing_crashes_and_nothing_false_is_valid(target: str) -> None:
    """Three hundred made-up inputs of each kind end in a verdict, a page or a sentence; some good ones are taken."""
    found = outcomes(target, 300, seed=7)
    assert bad(found) == []
    assert sum(found.values()) == 300
    assert any(outcome.endswith(("right", "valid", "taken", "GET 200")) for outcome in found)


def test_no_request_breaks_a_page(
    app: Flask, store: Database, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """Three made-up requests to each page and form, by somebody who may do everything, are never a surprise."""
    app.testing = False  # a surprise shows as a page with status 500, as it would to a person
    with store.writing() as session:
        person = make_person(session, "R-ALL", "Somebody", set(ROLES))
    browser, chance = signed_in(person.id), random.Random(7)
    token = browser.token()
    for rule in rules(app):
        for _ in range(3):
            values = {name: chance.choice((1, 2, 7, "x")) for name in rule.arguments}
            path = rule.build({name: _fitting(rule, name, value) for name, value in values.items()})
            assert path is not None
            form = {name: made_up(chance) for name in chance.sample(FIELDS, 8)}
            method = chance.choice(sorted((rule.methods or set()) & {"GET", "POST"}))
            reply = browser.open(
                path[1], method=method,
                query_string=form if method == "GET" else None,
                data={**form, "csrf_token": token} if method == "POST" else None,
            )  # fmt: skip
            assert reply.status_code != 500, (method, path[1], form)
            if reply.status_code == 401 or reply.headers.get("Location", "").startswith("/sign-in"):
                browser = signed_in(person.id)
                token = browser.token()


def made_up(chance: random.Random) -> str:
    """A text of the kind people type, one of a form's own words, or one that is far too long."""
    return chance.choice((text(chance), "1", "training", "2026-11-25", "x" * 5000))


def _fitting(rule: object, name: str, value: int | str) -> int | str:
    """A number where the address takes one only."""
    takes_numbers = type(rule._converters[name]).__name__ == "Id"  # type: ignore[attr-defined]
    return value if not takes_numbers or isinstance(value, int) else 3
