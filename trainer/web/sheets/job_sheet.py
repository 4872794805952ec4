"""Turn a several-part job into the plain data that its pages take."""

from __future__ import annotations

from typing import Any

from trainer.bank import Bank
from trainer.drills.marking import written
from trainer.errors import Refused
from trainer.formulas.writing import with_unit
from trainer.jobs.casting import CastJob, CastPart
from trainer.jobs.draw import DrawnJob
from trainer.jobs.marking import Marked
from trainer.languages import N_, _
from trainer.services.practising.jobs import Sheet
from trainer.web.sheets import presenting

_FARTHEST = 4.0  # an own answer this many times too large or too small is not drawn


def job_rows(bank: Bank) -> list[dict[str, Any]]:
    """Return a line for each job of the bank: id, title, level, steps, marks, unconfirmed."""
    return [
        {
            "id": entry.id,
            "title": entry.job.title,
            "level": entry.job.level,
            "steps": len(entry.job.parts),
            "marks": entry.job.marks,
            "unconfirmed": any(bank.drill(part.drill).drill.unconfirmed for part in entry.job.parts),
        }
        for entry in bank.jobs.values()
    ]


def step_rows(it: Sheet) -> list[dict[str, Any]]:
    """Return a line for each step: its title, marks, what was answered, and where one stands."""
    return [
        {
            "no": place + 1,
            "title": part.mould.read.drill.title,
            "marks": part.part.marks,
            "typed": it.row.answers[place].text if place < it.place else "",
            "state": N_("answered")
            if place < it.place
            else N_("next")
            if place == it.place
            else N_("to come"),
        }
        for place, part in enumerate(it.cast.parts)
    ]


def asked_view(it: Sheet) -> dict[str, Any]:
    """Return the data of pieces/exercise.html for the next step; own earlier answers are said to be so."""
    part = it.cast.parts[it.place]
    exercise, own = it.next_step()
    drawable = _drawable(it.drawn, it.answers, own)
    try:
        view = presenting.exercise_view(part.mould, exercise, drawable=drawable)
    except (Refused, ArithmeticError, ValueError):  # a number of the person's own that no sheet has room for
        view = presenting.exercise_view(part.mould, exercise, drawable=False)
    _say_whence(view, part, own)
    lost = _named(tuple(sorted({b for _, b in part.earlier if b not in own and it.answers[b] is not None})))
    if lost:
        says = _(
            "The rule has no result for your answer to step %(step)s: go on with the value in the list.",
            step=lost,
        )
        view["situation"] += f" {says}"
    return view


def _say_whence(view: dict[str, Any], part: CastPart, own: tuple[int, ...]) -> None:
    """Write beside each number of an earlier step whose it is."""
    quantities = part.mould.read.drill.quantities
    whence = {
        quantities[symbol].name: _("your answer to step %(step)s", step=place + 1)
        if place in own
        else _("right value of step %(step)s", step=place + 1)
        for symbol, place in part.earlier
    }
    for group in view["parts"]:
        for row in group["rows"]:
            if row["name"] in whence and not row["unknown"]:
                row["note"] = whence[row["name"]]


def marked_views(bank: Bank, it: Sheet) -> list[dict[str, Any]]:
    """Return for each answered step the data of its verdict, its working and its figure."""
    return [_marked_view(bank, it, place, one) for place, one in enumerate(it.marked)]


def _marked_view(bank: Bank, it: Sheet, place: int, one: Marked) -> dict[str, Any]:
    part = it.cast.parts[place]
    verdict = presenting.verdict_view(part.mould, one.exercise, one.verdict, f"dial{place}")
    steps = _named(one.own)
    slipped = _named(
        tuple(before for before in one.own if it.marked[before].own or not it.marked[before].marks)
    )
    if slipped:
        exact = written(part.mould, it.drawn.exercises[place].answer)
        verdict["says"].insert(0, _("Judged with your own answer to step %(step)s.", step=slipped))
        verdict["says"].append(
            _("With the right value of step %(step)s it would be %(value)s.", step=slipped, value=exact)
        )
    return {
        "no": place + 1,
        "title": part.mould.read.drill.title,
        "ask": presenting.ask(part.mould.read.drill, part.part.find),
        "typed": it.row.answers[place].text or _("nothing"),
        "marks": one.marks,
        "of": part.part.marks,
        "verdict": verdict,
        "working": presenting.working_view(bank, part.mould, one.exercise, one.verdict) | {"cautions": []},
        "working_heading": _("The working, with your answer to step %(step)s", step=steps)
        if steps
        else _("The working"),
        "figure": _solved_figure(it, part, one, f"solved{place}"),
    }


def _solved_figure(it: Sheet, part: CastPart, one: Marked, fid: str) -> str:
    if not _drawable(it.drawn, it.answers, one.own):
        return ""
    try:
        return presenting.solved_figure(part.mould, one.exercise, one.verdict, fid)
    except (Refused, ArithmeticError, ValueError):
        return ""


def _named(places: tuple[int, ...]) -> str:
    *first, last = (str(place + 1) for place in places) if places else ("",)
    return _("%(first)s and %(last)s", first=", ".join(first), last=last) if first else last


def preview_views(bank: Bank, cast: CastJob, drawn: DrawnJob) -> list[dict[str, Any]]:
    """Return every step as it is asked, with its working."""
    views = []
    for place, (part, one) in enumerate(zip(cast.parts, drawn.exercises, strict=True)):
        view = presenting.exercise_view(part.mould, one, f"fig{place}")
        _say_whence(view, part, ())
        working = presenting.working_view(bank, part.mould, one) | {"cautions": []}
        views.append({"no": place + 1, "of": part.part.marks, "view": view, "working": working})
    return views


def given_rows(cast: CastJob, drawn: DrawnJob) -> list[tuple[str, str]]:
    """Return the values of the job as they are shown, in its own units."""
    return [
        (f"{q.of}: {q.name}" if q.of not in {None, "part"} else q.name, with_unit(drawn.texts[s], q.unit))
        for s, q in cast.job.given.items()
    ]


def title_rows(cast: CastJob, drawn: DrawnJob, marks: str) -> list[tuple[str, str, str]]:
    """Return the title block of a job's sheet."""
    rest = _("a step is unconfirmed: check your copy") if cast.unconfirmed else _("at each step")
    return [
        (_("Job"), cast.job.title, "wide c6 major"),
        (_("Marks"), marks, ""),
        (_("Edition"), drawn.edition[:8], ""),
        (_("Seed"), str(drawn.seed), ""),
        (_("Source"), rest, "wide c6"),
    ]


def cautions(bank: Bank, cast: CastJob) -> list[str]:
    """Return the warnings of the job and of its drills, each once; they stand at the end of the sheet."""
    named = (*cast.job.cautions, *(one for part in cast.parts for one in part.mould.read.drill.cautions))
    return [bank.cautions[one].text for one in dict.fromkeys(named) if one in bank.cautions]


def _drawable(drawn: DrawnJob, answers: list[float | None], own: tuple[int, ...]) -> bool:
    """Tell whether own answers are near enough to the right ones for a drawing to scale."""
    for place in own:
        value, right = answers[place], drawn.exercises[place].answer
        if value is None or not right / _FARTHEST <= value <= right * _FARTHEST:
            return False
    return True
