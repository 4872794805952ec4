"""The menu: one row per page that stands in it, shown to those who may open the page."""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from typing import NamedTuple

from flask import Flask, current_app, request
from markupsafe import Markup

from trainer.languages import N_, _, language
from trainer.services.admitting.particulars import role_words
from trainer.services.admitting.sign_in import Me
from trainer.store.models import ROLES
from trainer.web.access import anybody, this_day
from trainer.web.addresses import address


@dataclass(frozen=True, slots=True)
class Item:
    """One line of the menu, for people with one of these roles (none named: for everybody), and where it is kept.

    ``label`` and ``group`` are of the catalogue.
    """

    label: str
    endpoint: str
    roles: str = ""
    group: str = ""


class Group(NamedTuple):
    """Lines that stand together: label, address, whether the page being shown stands there. No title: in the open."""

    title: str
    lines: tuple[tuple[str, str, bool], ...]


MOST_LINES = 7
"""Lines that stand side by side; whoever has more finds them in groups. What is looked up is a group for everybody."""
LEARN, TEACH, EXAMINE, RECORDS, LOOK_UP = (
    N_("Learn"),
    N_("Teach"),
    N_("Examine"),
    N_("Records"),
    N_("Look up"),
)


MENU: tuple[Item, ...] = (
    Item(N_("Next"), "trainee.home", "trainee", LEARN),
    Item(N_("Drills"), "trainee.drills", "trainee", LEARN),
    Item(N_("Questions"), "trainee.question_topics", "trainee", LEARN),
    Item(N_("Examination"), "trainee.examination", "trainee", LEARN),
    Item(N_("My record"), "record.standing", "trainee", LEARN),
    Item(N_("Classes"), "instructor.classes", "instructor", TEACH),
    Item(N_("Drill sets"), "instructor.all_sets", "instructor", TEACH),
    Item(N_("Statistics"), "instructor.statistics", "instructor", TEACH),
    Item(N_("Due dates"), "employer.due", "employer level_iii", RECORDS),
    Item(N_("Practicals"), "practicals.all_practicals", "instructor examiner level_iii", EXAMINE),
    Item(N_("Appeals"), "appeals.all_appeals", "examiner level_iii", EXAMINE),
    Item(N_("Bank"), "instructor.question_bank", "instructor", EXAMINE),
    Item(N_("Own items"), "drafts.all_drafts", "instructor examiner level_iii", EXAMINE),
    Item(N_("Countersign"), "ledger.waiting", "instructor examiner level_iii employer", RECORDS),
    Item(N_("Sign records"), "signing.all_records", "instructor examiner level_iii employer", RECORDS),
    Item(N_("People"), "people.people", "instructor employer", RECORDS),
    Item(N_("Work a part"), "shop.techniques", " ".join(ROLES), LOOK_UP),
    Item(N_("Packs"), "instructor.packs", "instructor", LOOK_UP),
    Item(N_("Formulas"), "reference.sheets", " ".join(ROLES), LOOK_UP),
    Item(N_("Words"), "reference.glossary", " ".join(ROLES), LOOK_UP),
    Item(N_("Verify"), "public.verify", "", LOOK_UP),
)


def install(app: Flask) -> None:
    """Give every template ``menu``, where it stands, ``me``, ``this_day``, words for roles, the ways to account and help."""
    app.context_processor(_context)


def menu(me: Me | None) -> tuple[Group, ...]:
    """The menu for this person: the lines they may open, each in the open or, where there are many, in groups."""
    roles, root, asked = me.roles if me else frozenset[str](), request.root_path, f"{request.path}/"
    here = max(
        (href for href, below, _item in _places(roles, root) if asked.startswith(below)), key=len, default=""
    )
    return _menu(roles, root, language(), here)


def first_page(me: Me | None) -> str:
    """Where somebody begins: the first line of their menu."""
    return menu(me)[0].lines[0][1]


@lru_cache
def _places(roles: frozenset[str], _root: str) -> tuple[tuple[str, str, Item], ...]:
    """The lines of a menu: address, what it and every address below it (a person below People) begin with, line."""
    lines = (item for item in MENU if not item.roles or not roles.isdisjoint(item.roles.split()))
    hrefs = ((address(item.endpoint), item) for item in lines)
    return tuple((href, f"{href.rstrip('/')}/", item) for href, item in hrefs)


@lru_cache(maxsize=1024)
def _menu(roles: frozenset[str], root: str, _tag: str, here: str) -> tuple[Group, ...]:
    """The menu of everybody with these roles on every page below ``here``."""
    places = _places(roles, root)
    crowded = sum(item.group != LOOK_UP for _href, _below, item in places) > MOST_LINES
    groups: dict[str, list[tuple[str, str, bool]]] = {}
    for href, _below, item in places:
        title = item.group if crowded or item.group == LOOK_UP else ""
        groups.setdefault(title or href, []).append((_(item.label), href, href == here))
    # a group of one line would only hide it
    return tuple(Group(_(title) if len(lines) > 1 else "", tuple(lines)) for title, lines in groups.items())


@lru_cache(maxsize=1024)
def _drawn(nav: tuple[Group, ...], _tag: str) -> Markup:
    return Markup(current_app.jinja_env.get_template("pieces/menu.html").render(nav=nav))


def _help(me: Me | None) -> str:
    """The help page of this person's first role; a trainee's for whoever is not signed in."""
    roles = me.roles if me else frozenset[str]()
    leads = roles & {"instructor", "examiner"}, roles & {"employer", "level_iii"}
    role = "trainee" if "trainee" in roles or not any(leads) else "instructor" if leads[0] else "employer"
    return address("public.guide", role=role)


def _context() -> dict[str, object]:
    found = anybody()
    groups = menu(found)
    return {
        "menu": _drawn(groups, language()),
        "menu_line": next((label for group in groups for label, _href, here in group.lines if here), ""),
        "this_day": this_day,
        "me": found,
        "role_words": role_words,
        "account_href": address("account.account"),
        "help_href": _help(found),
    }
