"""The house that hostile requests are sent to: filled, opened again and again as it was at first, with its people."""

from __future__ import annotations

import re
import shutil
from dataclasses import dataclass, field
from html import unescape
from pathlib import Path

from flask import Flask
from sqlalchemy import select

from tests.browser.whole_house import NOBODY, WALKERS, House, addresses, filled
from tests.conftest import Browser
from tests.make import Clock, make_person
from tests.stores import take_steps
from trainer.app import create_app
from trainer.settings import Settings
from trainer.store.models import ROLES, Person

MARK = "<x9 y='1'>"
"""Text that must be escaped wherever it comes back."""
EVERYTHING = "R-ALL"
FIELD = re.compile(r'<(?:input|select|textarea|button)\b[^>]*?\bname="([^"]+)"(?:[^>]*?\bvalue="([^"]*)")?')
QUERY = re.compile(r'(?:href|action)="[^"]*?\?([^"#]+)"')


@dataclass
class Street:
    """One filled house after the other, each a copy of the first, and who stands at its door."""

    folder: Path
    forms: dict[str, str] = field(default_factory=dict)
    found: list[tuple[str, str]] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    hands: tuple[str, ...] = (*WALKERS, *ROLES, EVERYTHING)
    house: House | None = None
    browsers: dict[str, tuple[Browser, str]] = field(default_factory=dict)

    def build(self) -> None:
        """Fill the first one, walk through it, and remember its addresses and the fields of its forms."""
        settings = Settings(instance=self.folder / "model")
        settings.instance.mkdir()
        take_steps(settings.database_url)
        house = filled(settings)
        self.found = [*addresses(house).values()]
        for number, address in self.found:
            reply = house.client(number).get(address)
            page = reply.get_data(as_text=True) if reply.mimetype == "text/html" else ""
            self.forms.update((unescape(name), unescape(value)) for name, value in FIELD.findall(page))
            for query in QUERY.findall(page):
                self.forms.update(one.partition("=")[::2] for one in unescape(query).split("&"))
        for name in ("csrf_token", "next"):
            self.forms.pop(name, None)
        with house.parts.database.writing() as session:
            for role in ROLES:
                make_person(session, role.upper().replace("_", "-"), f"Somebody {MARK}", {role})
            make_person(session, EVERYTHING, "Somebody", set(ROLES))
        house.parts.database.close()

    @property
    def app(self) -> Flask:
        """The application of the house that is open."""
        assert self.house is not None
        return self.house.app

    def leave(self) -> None:
        """Close the house that is open."""
        if self.house is not None:
            self.house.parts.database.close()

    def move(self) -> None:
        """Leave the house as it is now and open a new one."""
        self.leave()
        shutil.rmtree(self.folder / "copy", ignore_errors=True)
        shutil.copytree(self.folder / "model", self.folder / "copy")
        app = create_app(Settings(instance=self.folder / "copy"), clock=Clock())
        app.test_client_class = Browser  # without `testing`, so that a surprise is a page, as for a person
        self.house, self.browsers = House(app), {}

    def browser(self, hand: str) -> tuple[Browser, str]:
        """The client of somebody with the token of its forms; signed in anew when that ended."""
        assert self.house is not None
        if hand not in self.browsers:
            with self.house.parts.database.reading() as session:
                known = session.scalars(select(Person.works_number)).all()
            number = hand.upper().replace("_", "-") if hand in ROLES else hand
            client = self.house.client(number if number in known else NOBODY)
            self.browsers[hand] = (client, client.token())
        return self.browsers[hand]
