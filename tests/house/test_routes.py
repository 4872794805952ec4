"""Every page is guarded, refuses forged forms, and answers the wrong role and the wrong verb properly."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from typing import Any

from flask import Flask
from werkzeug.routing import Rule

from tests.conftest import Browser
from tests.make import People, make_person
from trainer.store import Database
from trainer.store.models import ROLES
from trainer.web.access import GUARDED

# Blueprints that anybody may open, each page of which must say for itself why that is safe.
OPEN = frozenset({"public"})


def rules(app: Flask) -> Iterator[Rule]:
    """Every page of the application."""
    return (rule for rule in app.url_map.iter_rules() if rule.endpoint != "static")


def address(rule: Rule) -> str:
    """An address of this page, with the number 1 (or the text 1) wherever it takes one."""
    with_values: Any = rule.build(dict.fromkeys(rule.arguments, 1))
    assert with_values is not None, rule.rule
    return str(with_values[1])


def changing(app: Flask) -> Iterator[Rule]:
    """Every page that takes a form."""
    return (rule for rule in rules(app) if "POST" in (rule.methods or set()))


def test_every_blueprint_is_guarded(app: Flask) -> None:
    """A page belongs to a guarded blueprint, or to one that is open on purpose."""
    assert set(app.blueprints) - OPEN == set(app.blueprints) & set(GUARDED)
    assert all("." in rule.endpoint for rule in rules(app)), "a page without a blueprint has no guard"


def test_no_address_has_two_pages(app: Flask) -> None:
    """One address and verb lead to one page, whatever its number is called: the second would never be reached."""
    held: dict[tuple[str, str], str] = {}
    for rule in rules(app):
        for verb in (rule.methods or set()) - {"HEAD", "OPTIONS"}:
            place = (verb, re.sub(r"<(\w+:)?\w+>", r"<\1>", rule.rule))
            assert held.setdefault(place, rule.endpoint) == rule.endpoint, place


def test_signed_out_people_see_no_guarded_page(app: Flask, people: People, nobody: Browser) -> None:
    """Somebody signed out is led to the sign-in page; what they send is refused, never redirected."""
    for rule in rules(app):
        if rule.endpoint.split(".")[0] in OPEN:
            continue
        if "GET" in (rule.methods or set()):
            response = nobody.get(address(rule))
            assert (response.status_code, response.location.split("?")[0]) == (303, "/sign-in"), rule
        if "POST" in (rule.methods or set()):
            assert nobody.send(address(rule)).status_code == 401, rule


def test_wrong_roles_are_refused(
    app: Flask, store: Database, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """Every page of every blueprint answers 403 to each role that its guard does not name."""
    for role in ROLES:
        with store.writing() as session:
            person = make_person(session, f"R-{role}".replace("_", "-"), "Somebody", {role})
        browser = signed_in(person.id)
        for rule in rules(app):
            allowed = GUARDED.get(rule.endpoint.split(".")[0])
            if allowed is None or role in allowed:
                continue
            if "GET" in (rule.methods or set()):
                assert browser.get(address(rule)).status_code == 403, (role, rule)
            if "POST" in (rule.methods or set()):
                assert browser.send(address(rule)).status_code == 403, (role, rule)


def test_every_form_needs_its_token(
    app: Flask, store: Database, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """A form without the hidden token is refused, by whomever it is sent."""
    with store.writing() as session:
        person = make_person(session, "R-ALL", "Somebody", set(ROLES))
    browser = signed_in(person.id)
    for rule in changing(app):
        response = browser.post(address(rule))
        assert response.status_code == 400, rule
        assert "Load it anew" in response.get_data(as_text=True), rule


def test_every_form_must_come_from_our_own_pages(app: Flask, people: People, as_ian: Browser) -> None:
    """A form sent by another site's page, or without saying from where, is refused."""
    token = as_ian.token()
    for origin in ("http://elsewhere.example", "http://[", "null", ""):
        for rule in changing(app):
            response = as_ian.post(address(rule), data={"csrf_token": token}, headers={"Origin": origin})
            assert response.status_code == 403, (origin, rule)


def test_forms_are_not_pages(app: Flask, people: People, as_ian: Browser) -> None:
    """Asking with GET for an address that only takes a form answers 405."""
    getable = {rule.rule for rule in rules(app) if "GET" in (rule.methods or set())}
    for rule in changing(app):
        if rule.rule not in getable:
            assert as_ian.get(address(rule)).status_code == 405, rule


def test_numbers_beyond_counting_are_not_found(
    app: Flask, store: Database, people: People, signed_in: Callable[[int], Browser]
) -> None:
    """A number in an address that no database could hold answers 404 on every page that takes one."""
    with store.writing() as session:
        person = make_person(session, "R-ALL", "Somebody", set(ROLES))
    browser = signed_in(person.id)
    for rule in rules(app):
        if not any(type(one).__name__ == "Id" for one in rule._converters.values()):
            continue
        for number in ("0", "999999999", "2147483648", "9" * 30, "x", "-1"):
            path = address(rule).replace("/1", f"/{number}")
            send = browser.get if "GET" in (rule.methods or set()) else browser.send
            assert send(path).status_code == 404, path
