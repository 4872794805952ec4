"""Wire the application together: settings, store, bank, pages, protection."""

from __future__ import annotations

import os
from collections.abc import Callable
from datetime import UTC, datetime
from importlib import import_module
from typing import TYPE_CHECKING

from flask import Flask
from jinja2 import FileSystemBytecodeCache

from trainer.settings import Settings, templates_folder
from trainer.store import Database
from trainer.store.migrations import migrate
from trainer.web import addresses, delivery, navigation, problems, protection, reader, shelving
from trainer.web.access import parts
from trainer.web.addresses import LateRule
from trainer.web.reader import House
from trainer.web.sheets import days, wording
from trainer.web.templating import Templates

if TYPE_CHECKING:
    from trainer.drills.shelf import Shelf

# Every module that holds pages, by name; each has the blueprint ``bp`` that its pages hang on.
PAGES: tuple[str, ...] = (
    "trainer.web.public.entry",
    "trainer.web.public.account",
    "trainer.web.public.habits",
    "trainer.web.public.verify",
    "trainer.web.public.guide",
    "trainer.web.trainee.practice",
    "trainer.web.trainee.jobs",
    "trainer.web.trainee.class_question",
    "trainer.web.trainee.questions",
    "trainer.web.trainee.printed",
    "trainer.web.trainee.sitting",
    "trainer.web.trainee.before_paper",
    "trainer.web.shop.work",
    "trainer.web.reference.pages",
    "trainer.web.instructor.people",
    "trainer.web.instructor.roster",
    "trainer.web.instructor.classes",
    "trainer.web.instructor.meetings",
    "trainer.web.instructor.sets",
    "trainer.web.instructor.preview",
    "trainer.web.instructor.assignments",
    "trainer.web.instructor.handouts",
    "trainer.web.instructor.jobs",
    "trainer.web.instructor.packs",
    "trainer.web.instructor.bank",
    "trainer.web.instructor.drafts",
    "trainer.web.instructor.draft_deeds",
    "trainer.web.instructor.draft_files",
    "trainer.web.instructor.own_seal",
    "trainer.web.instructor.printed",
    "trainer.web.instructor.board",
    "trainer.web.instructor.class_question",
    "trainer.web.instructor.sittings",
    "trainer.web.instructor.seals",
    "trainer.web.instructor.papers",
    "trainer.web.instructor.invigilation",
    "trainer.web.instructor.appeals",
    "trainer.web.instructor.on_paper",
    "trainer.web.instructor.practicals",
    "trainer.web.instructor.specimens",
    "trainer.web.instructor.specimen_file",
    "trainer.web.instructor.statistics",
    "trainer.web.instructor.question_statistics",
    "trainer.web.instructor.panels",
    "trainer.web.instructor.paper_plans",
    "trainer.web.instructor.hours",
    "trainer.web.instructor.ledger",
    "trainer.web.instructor.signing",
    "trainer.web.instructor.earlier",
    "trainer.web.trainee.record",
    "trainer.web.employer.due",
    "trainer.web.employer.people",
    "trainer.web.employer.chain",
    "trainer.web.employer.exports",
    "trainer.web.employer.issuers",
    "trainer.web.employer.practices",
    "trainer.web.employer.erasures",
)


def create_app(
    settings: Settings, *, clock: Callable[[], datetime] | None = None, shelf: Shelf | None = None
) -> Flask:
    """The application over one instance folder, its store brought up to date.

    Raises Conflict for a store made by a newer program, FaultyFiles for a shipped bank with faults. Faults of
    the employer's own items are told on the instructor's page of the bank.
    """
    settings.prepare()
    database = _up_to_date(settings)
    app = House(
        "trainer",
        static_folder=delivery.FOLDER,
        static_url_path=delivery.stamped_address(),
        template_folder=templates_folder(),
    )
    app.jinja_environment, app.url_rule_class = Templates, LateRule
    app.jinja_options = {"cache_size": -1}  # all are kept, without a queue of the least used
    held = shelving.opened(settings, database, clock or _now, shelf)
    app.extensions["trainer"] = held
    _keep_compiled(app)
    reader.install(app)
    protection.configure(app, settings)
    delivery.install(app)
    for blueprint in dict.fromkeys(import_module(name).bp for name in PAGES):
        app.register_blueprint(blueprint)
    protection.protect(app, settings)
    problems.install(app)
    addresses.install(app)
    navigation.install(app)
    wording.install(app)
    days.install(app)
    return app


def _up_to_date(settings: Settings) -> Database:
    database = Database(settings.database_url)
    try:
        migrate(database)
    except BaseException:
        database.close()
        raise
    return database


def _keep_compiled(app: Flask) -> None:
    """Keep compiled templates beside their sources, as Python does with modules: a start saves 0.1 s.

    Not in the instance folder: a restored backup must not bring code along.
    """
    folder = templates_folder() / "__pycache__"
    try:
        folder.mkdir(exist_ok=True)
    except OSError:
        return
    if os.access(folder, os.W_OK):
        app.jinja_env.bytecode_cache = FileSystemBytecodeCache(str(folder), "words-%s.cache")


def _now() -> datetime:
    return datetime.now(UTC)


__all__ = ["PAGES", "create_app", "parts"]
