"""Read schemes from their files: every fault at once, each with file, line and column."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path
from typing import Annotated, Any, Literal

from pydantic import BaseModel, ConfigDict, Field, ValidationError

from trainer.bank.yamltext import Located, Place, read_yaml
from trainer.errors import Fault, FaultyFiles, Unreadable
from trainer.qualification.entries import Level
from trainer.qualification.scheme import QUANTITIES, Figure, Scheme, Source

Text = Annotated[str, Field(min_length=1, max_length=2000)]
_ID = r"^[A-Z][A-Z0-9]{1,11}-[A-Z0-9]{1,12}(-[A-Z0-9]{1,12})?$"
_LONGEST_FILE = 200_000


class _Strict(BaseModel):
    model_config = ConfigDict(extra="forbid", strict=True, frozen=True, allow_inf_nan=False)


class _Figure(_Strict):
    value: int | float | bool | str
    unit: Text | None = None
    status: Literal["seen", "seen-2", "memory", "ours"]
    confidence: Literal["high", "medium", "low"]
    basis: Literal["primary", "body", "secondary", "derived"] | None = None
    document: Text | None = None
    edition: Text | None = None
    clause: Text | None = None
    clause_read: bool = False
    sources: list[str] = Field(default_factory=list)
    note: Text | None = None
    disputed: Text | None = None


class _Source(_Strict):
    what: Text
    kind: Literal["primary", "body", "secondary"]


class _Scheme(_Strict):
    id: Annotated[str, Field(pattern=_ID)]
    document: Text
    edition: Text
    nature: Text
    levels: list[Literal["I", "II"]] = Field(min_length=1)
    overrides: Literal["any", "stricter", "none"]
    figures: dict[str, _Figure]
    sources: dict[str, _Source] = Field(default_factory=dict)
    not_judged: list[Text] = Field(default_factory=list)


def read_scheme(text: str | bytes, name: str) -> Scheme:
    """Read one scheme; raises FaultyFiles with every fault of the file."""
    located = read_yaml(text, name, _LONGEST_FILE)
    try:
        written = _Scheme.model_validate(located.data)
    except ValidationError as error:
        raise FaultyFiles(tuple(_shape_faults(located, error))) from None
    faults = [located.fault(place, says) for place, says in _content_faults(written)]
    if faults:
        raise FaultyFiles(tuple(faults))
    return _built(written)


def read_schemes(folder: Path) -> dict[str, Scheme]:
    """Read every scheme of a folder by id; raises FaultyFiles with the faults of all files at once."""
    schemes: dict[str, Scheme] = {}
    faults: list[Fault] = []
    for path in sorted(folder.glob("*.yaml")):
        try:
            scheme = read_scheme(path.read_bytes(), path.name)
        except FaultyFiles as error:
            faults.extend(error.faults)
            continue
        if scheme.id != path.stem:
            faults.append(
                Fault(path.name, 1, 1, f"the scheme is called {scheme.id}; name the file {scheme.id}.yaml")
            )
        schemes[scheme.id] = scheme
    if faults:
        raise FaultyFiles(tuple(faults))
    if not schemes:
        raise Unreadable(f"there is no scheme in {folder}; put the folder question_bank/schemes there")
    return schemes


def _shape_faults(located: Located, error: ValidationError) -> Iterator[Fault]:
    for found in error.errors(include_url=False, include_context=False):
        place = tuple(found["loc"])
        while place and place not in located.marks:
            place = place[:-1]
        what = ".".join(str(step) for step in found["loc"]) or "the file"
        yield located.fault(place, f"{what}: {_advice(found['type'], found['msg'])}")


def _advice(kind: str, message: str) -> str:
    if kind == "extra_forbidden":
        return "this name is not known here; see the head of SNT-2020.yaml for the names of a scheme"
    if kind == "missing":
        return "this is missing; add it"
    return f"{message[:1].lower()}{message[1:]}; mend it"


# A row that is judged by the first figure needs the second as well.
_WITH = {"absence.years": "absence.sum_days", "rehire.months": "certificate.years"}


def _content_faults(written: _Scheme) -> Iterator[tuple[Place, str]]:
    for key, figure in written.figures.items():
        yield from _figure_faults(key, figure, written.sources)
    if len(set(written.levels)) < len(written.levels):
        yield ("levels",), "levels names one level twice; write each once"
    for key in ("training", "training_educated", "experience_method", "experience_total"):
        yield from _sum_faults(key, written)
    yield from _unit_faults(written.figures)
    for key, needed in _WITH.items():
        if key in written.figures and needed not in written.figures:
            yield ("figures", key), f"'{key}' is judged together with '{needed}'; add it"
    parts = {"general.pass", "specific.pass", "practical.pass", "practical.judged"}
    held = parts & written.figures.keys()
    if held and held != parts:
        yield ("figures",), f"examinations need all of {', '.join(sorted(parts))}; add what is missing"
    if held and not {"retest.days", "retest.months"} & written.figures.keys():
        yield ("figures",), "examinations need retest.days or retest.months; add one"


def _figure_faults(key: str, figure: _Figure, sources: dict[str, _Source]) -> Iterator[tuple[Place, str]]:
    place: Place = ("figures", key)
    quantity = QUANTITIES.get(key)
    if quantity is None:
        yield place, f"'{key}' is not a figure that can be judged; leave it out, or say it under not_judged"
        return
    if quantity.units:
        if isinstance(figure.value, bool | str) or not 0 <= figure.value <= 1_000_000:
            yield (*place, "value"), f"'{key}' must be a number from 0 on"
        if figure.unit not in quantity.units:
            yield (*place, "unit"), f"'{key}' must have the unit {' or '.join(quantity.units)}"
    elif _word(figure.value) not in quantity.words:
        yield (*place, "value"), f"'{key}' must be {' or '.join(quantity.words)}"
    if figure.status.startswith("seen") and not figure.sources:
        yield (*place, "status"), f"'{key}' was seen somewhere; name its sources, or write status memory"
    for index, source in enumerate(figure.sources):
        if source not in sources:
            yield (*place, "sources", index), f"the source {source} is not described under sources; add it"


def _sum_faults(key: str, written: _Scheme) -> Iterator[tuple[Place, str]]:
    """Ask for the figure of every level and of direct entry together, and for their sum."""
    names = [*written.levels, "direct"] if len(written.levels) > 1 else written.levels
    steps = [written.figures.get(f"{key}.{step}") for step in ("I", "II", "direct")]
    lacking = [name for name in names if f"{key}.{name}" not in written.figures]
    if any(steps) and lacking:
        yield ("figures",), f"'{key}' is also needed for {', '.join(lacking)}; add '{key}.{lacking[0]}'"
    first, second, direct = (_number(step.value) if step else None for step in steps)
    if direct is not None and first is not None and second is not None and first + second != direct:
        yield ("figures", f"{key}.direct", "value"), f"'{key}.direct' must be the sum of Level I and Level II"


def _unit_faults(figures: dict[str, _Figure]) -> Iterator[tuple[Place, str]]:
    for unit, needed in (("days", "experience.day_hours"), ("months", "experience.month_hours")):
        for key, figure in figures.items():
            hours = key.startswith(("training.", "experience_method."))
            if hours and figure.unit == unit and not figures.get(needed, figure).value:
                yield ("figures", needed, "value"), f"'{needed}' must be above 0"
            elif hours and figure.unit == unit and needed not in figures:
                yield ("figures", key), f"'{key}' is in {unit}; add '{needed}'"


def _number(value: Any) -> Fraction | None:
    # The shortest text of a float is what was written: 30.48 becomes exactly 3048/100.
    return None if isinstance(value, bool | str) else Fraction(str(value))


def _word(value: Any) -> str:
    return str(value).lower() if isinstance(value, bool) else str(value)


def _built(written: _Scheme) -> Scheme:
    figures = {key: _figure(key, figure, written) for key, figure in written.figures.items()}
    return Scheme(
        id=written.id,
        document=written.document,
        edition=written.edition,
        nature=written.nature,
        levels=tuple(Level[level] for level in written.levels),
        overrides=written.overrides,
        figures=figures,
        sources={key: Source(key, source.what, source.kind) for key, source in written.sources.items()},
        not_judged=tuple(written.not_judged),
    )


def _figure(key: str, written: _Figure, scheme: _Scheme) -> Figure:
    number = _number(written.value)
    return Figure(
        key=key,
        value=_word(written.value) if number is None else number,
        unit=written.unit or "",
        document=written.document or scheme.document,
        edition=written.edition or scheme.edition,
        status=written.status,
        confidence=written.confidence,
        clause=written.clause,
        clause_read=written.clause_read,
        basis=written.basis,
        sources=tuple(written.sources),
        note=written.note,
        disputed=written.disputed,
    )
