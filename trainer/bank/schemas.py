"""JSON Schemas of the content files, made from the records that read them."""

from __future__ import annotations

import json
from pathlib import Path

from pydantic import BaseModel

from trainer.bank.drill import Drill
from trainer.bank.job import Job
from trainer.bank.models import BankPage, Cautions, Glossary
from trainer.bank.paper import PaperPlan
from trainer.bank.power import Power
from trainer.bank.practical import Practical
from trainer.bank.question import QuestionFile
from trainer.bank.technique import Technique

KINDS: dict[str, type[BaseModel]] = {
    "drill": Drill,
    "job": Job,
    "practical": Practical,
    "technique": Technique,
    "power": Power,
    "questions": QuestionFile,
    "paper": PaperPlan,
    "bank": BankPage,
    "cautions": Cautions,
    "glossary": Glossary,
}


def schema_text(kind: str) -> str:
    """Return the schema of one kind as text that is the same every time."""
    schema = {"$schema": "https://json-schema.org/draft/2020-12/schema", **KINDS[kind].model_json_schema()}
    return json.dumps(schema, indent=1, sort_keys=True, ensure_ascii=False) + "\n"


def write_schemas(folder: Path) -> list[Path]:
    """Write every schema into a folder; return the files."""
    folder.mkdir(parents=True, exist_ok=True)
    paths = []
    for kind in KINDS:
        path = folder / f"{kind}.json"
        path.write_text(schema_text(kind), encoding="utf-8")
        paths.append(path)
    return paths
