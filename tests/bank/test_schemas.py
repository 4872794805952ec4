"""The schemas that editors use are those of the reader."""

from __future__ import annotations

from pathlib import Path

import jsonschema
import pytest
import yaml

from trainer.bank.schemas import KINDS, schema_text, write_schemas

BANK = Path(__file__).parents[2] / "question_bank"


@pytest.mark.parametrize("kind", KINDS)
def test_shipped_schema_is_that_of_the_reader(kind: str) -> None:
    """`trainer bank schemas` would change nothing."""
    assert (BANK / "schemas" / f"{kind}.json").read_text(encoding="utf-8") == schema_text(kind)


@pytest.mark.parametrize(
    ("kind", "files"),
    [
        ("drill", "drills/*/*.yaml"),
        ("job", "jobs/*.yaml"),
        ("practical", "practicals/*.yaml"),
        ("questions", "questions/*.yaml"),
        ("paper", "papers/*.yaml"),
        ("technique", "techniques/*.yaml"),
    ],
)
def test_every_shipped_item_obeys_the_schema(tmp_path: Path, kind: str, files: str) -> None:
    """An editor that checks by the schema has no complaint about our own items of any kind."""
    import json

    paths = {p.stem: p for p in write_schemas(tmp_path)}
    check = jsonschema.Draft202012Validator(json.loads(paths[kind].read_text(encoding="utf-8")))
    loader = getattr(yaml, "CSafeLoader", yaml.SafeLoader)
    for file in sorted(BANK.glob(files)):
        data = yaml.load(file.read_text(encoding="utf-8"), loader)
        assert [e.message for e in check.iter_errors(data)] == [], file.name
