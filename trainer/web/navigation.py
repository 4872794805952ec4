"""The menu: one row per page that stands in it, shown to those who may open the page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from flask import Flask, current_app, request

from trainer.languages import N_, _
from trainer.services.particulars import role_words
from trainer.services.sign_in import Me
from trainer.store.models import ROLES
from trainer.web.access import anybody
from trainer.web.addresses import address


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the menu, for people with one of these roles. No role named: for everybody. ``label`` is of the catalogue."""

    label: str
    endpoint: str
    roles: str = ""


MENU: tuple[Item, ...] = (
    Item(N_("Next"), "trainee.home", "trainee"),
    Item(N_("Drills"), "trainee.drills", "trainee"),
    Item(N_("Questions"), "trainee.question_topics", "trainee"),
    Item(N_("Examination"), "trainee.examination", "trainee"),
    Item(N_("My record"), "record.standing", "trainee"),
    Item(N_("Classes"), "instructor.classes", "instructor"),
    Item(N_("Drill sets"), "instructor.all_sets", "instructor"),
    Item(N_("Statistics"), "instructor.statistics", "instructor"),
    Item(N_("Due dates"), "employer.due", "employer level_iii"),
    Item(N_("Practicals"), "practicals.all_practicals", "instructor examiner level_iii"),
    Item(N_("Appeals"), "appeals.all_appeals", "examiner level_iii"),
    Item(N_("Packs"), "instructor.packs", "instructor"),
    Item(N_("Bank"), "instructor.question_bank", "instructor"),
    Item(N_("Own items"), "drafts.all_drafts", "instructor examiner level_iii"),
    Item(N_("Countersign"), "ledger.waiting", "instructor examiner level_iii employer"),
    Item(N_("People"), "people.people", "instructor employer"),
    Item(N_("Work a part"), "shop.techniques", " ".join(ROLES)),
    Item(N_("Formulas"), "reference.sheets", " ".join(ROLES)),
    Item(N_("Words"), "reference.glossary", " ".join(ROLES)),
    Item(N_("Verify"), "public.verify"),
    Item(N_("Account"), "account.account", " ".join(ROLES)),
)


def install(app: Flask) -> None:
    """Give every template ``nav``, ``me``, the words for roles and the way to the help."""
    app.context_processor(_context)


def menu(me: Me | None) -> list[tuple[str, str, bool]]:
    """The lines of the menu for this person: label, address, whether the page being shown stands in it."""
    roles, known = me.roles if me else frozenset[str](), current_app.view_functions
    items = [item for item in _lines(roles) if item.endpoint in known]
    places, asked = [(_(item.label), address(item.endpoint)) for item in items], request.path
    here = max((href for _label, href in places if _stands_in(asked, href)), key=len, default="")
    return [(label, href, href == here) for label, href in places]


def _stands_in(asked: str, href: str) -> bool:
    """Whether the page being shown is this one or one below it (a person below People)."""
    return asked == href or asked.startswith(f"{href.rstrip('/')}/")


@cache
def _lines(roles: frozenset[str]) -> tuple[Item, ...]:
    return tuple(item for item in MENU if not item.roles or not roles.isdisjoint(item.roles.split()))


def _help(me: Me | None) -> str:
    """The help page of this person's first role; a trainee's for whoever is not signed in."""
    roles = me.roles if me else frozenset[str]()
    leads = roles & {"instructor", "examiner"}, roles & {"employer", "level_iii"}
    role = "trainee" if "trainee" in roles or not any(leads) else "instructor" if leads[0] else "employer"
    return address("public.guide", role=role)


def _context() -> dict[str, object]:
    found = anybody()
    return {"nav": menu(found), "me": found, "role_words": role_words, "help_href": _help(found)}
