"""The least that could be on the same server: a page that says hello, and a form whose text is kept for good.

python -m tests.benchmarks.bare FOLDER PORT
"""

from __future__ import annotations

import sys
from datetime import UTC, datetime
from pathlib import Path

from flask import Flask, redirect, request
from sqlalchemy.orm import DeclarativeBase, Mapped, mapped_column
from werkzeug.wrappers import Response

from trainer.serving.server import make_server, run_until_stopped
from trainer.store import Database


class Table(DeclarativeBase):
    """The tables of the bare application."""


class Kept(Table):
    """One text as it was sent."""

    __tablename__ = "kept"

    id: Mapped[int] = mapped_column(primary_key=True)
    text: Mapped[str]
    at: Mapped[datetime]


def application(folder: Path) -> Flask:
    """Two pages over a database of its own, opened exactly as the trainer opens its own."""
    app = Flask("bare")
    database = Database(f"sqlite:///{(folder / 'bare.sqlite').as_posix()}")
    Table.metadata.create_all(database.engine)

    @app.get("/")
    def hello() -> str:
        return "hello"

    @app.post("/")
    def keep() -> Response:
        with database.writing() as session:
            session.add(Kept(text=request.form["answer"], at=datetime.now(UTC)))
        return redirect("/", 303)

    return app


if __name__ == "__main__":
    run_until_stopped(make_server(application(Path(sys.argv[1])), "127.0.0.1", int(sys.argv[2])))
