"""The factory wires a whole application over any folder, new or old, and reads the shipped bank."""

from __future__ import annotations

from pathlib import Path

import pytest

from trainer.app import PAGES, create_app
from trainer.drills.shelf import Shelf
from trainer.errors import Conflict
from trainer.settings import Settings
from trainer.store import Database
from trainer.store.migrations import head, taken
from trainer.web.access import Parts


def test_a_new_folder_becomes_an_installation(tmp_path: Path, shelf: Shelf) -> None:
    """Where there was nothing there is a settings file, a private key for forms and an empty store."""
    app = create_app(Settings(instance=tmp_path / "new" / "instance"), shelf=shelf)
    parts: Parts = app.extensions["trainer"]
    assert taken(parts.database) == head()
    assert sorted(file.name for file in parts.settings.instance.iterdir() if "sqlite" not in file.name) == [
        "session.key",
        "trainer.toml",
    ]
    assert app.test_client().get("/").status_code == 200
    parts.database.close()


def test_a_second_start_goes_on_with_what_is_there(settings: Settings, shelf: Shelf) -> None:
    """Form tokens stay good over a restart, and no step is taken twice."""
    first, second = (create_app(settings, shelf=shelf) for _ in range(2))
    assert first.config["SECRET_KEY"] == second.config["SECRET_KEY"]
    for app in (first, second):
        app.extensions["trainer"].database.close()


def test_records_of_a_newer_program_stop_the_start(settings: Settings, shelf: Shelf) -> None:
    """A store that this program does not know is not opened."""
    database = Database(settings.database_url)
    with database.connection() as connection:
        connection.exec_driver_sql("UPDATE alembic_version SET version_num = '9999'")
    database.close()
    with pytest.raises(Conflict, match="newer version"):
        create_app(settings, shelf=shelf)


def test_templates_that_cannot_be_kept_compiled(
    settings: Settings, shelf: Shelf, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    """Installed where nothing may be written, the pages work all the same."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError("read-only")

    with monkeypatch.context() as patch:
        patch.setattr(Path, "mkdir", refuse)
        patch.setattr(Settings, "prepare", lambda _self: None)
        app = create_app(settings, shelf=shelf)
    assert app.jinja_env.bytecode_cache is None
    assert app.test_client().get("/join").status_code == 200
    app.extensions["trainer"].database.close()


def test_pages_are_named_once() -> None:
    """The table of page modules names each once."""
    assert len(set(PAGES)) == len(PAGES)
