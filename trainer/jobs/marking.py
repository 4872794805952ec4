"""Follow-through marking: a step is right if it is right for the candidate's own earlier answers as well.

Each step is judged by the drills' own marking, once with the right answers of the steps before and once
for every mixture of them with the candidate's own. So a slip costs the marks of the step it was made in
and no others, and a step that is wrong for every mixture has no marks.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product

from trainer.drills.exercise import Exercise
from trainer.drills.marking import judged, mark
from trainer.drills.verdict import Verdict
from trainer.jobs.casting import CastJob
from trainer.jobs.draw import DrawnJob, worked
from trainer.languages import _


@dataclass(frozen=True, slots=True)
class Marked:
    """The judgement of one step. ``exercise`` holds the numbers it was judged with; ``own`` names the
    earlier steps (by place) whose answers went in as the candidate had them, where that made a difference."""

    verdict: Verdict
    exercise: Exercise
    own: tuple[int, ...]
    marks: int

    @property
    def followed(self) -> bool:
        """Whether the marks come from following the candidate's own earlier answer."""
        return self.verdict.right and bool(self.own)


def own_answers(cast: CastJob, place: int, answers: Sequence[float | None]) -> dict[int, float]:
    """Return the candidate's answers that stand in this step; None stands for a step left out."""
    wanted = (before for _, before in cast.parts[place].earlier)
    return {i: value for i in wanted if i < len(answers) and (value := answers[i]) is not None}


def asked(
    cast: CastJob, drawn: DrawnJob, place: int, answers: Sequence[float | None]
) -> tuple[Exercise, tuple[int, ...]]:
    """Return the step as the candidate meets it, with the places of the own answers in it.

    Where the rule has no result for the own answers, the right ones are given to go on with.
    """
    own = own_answers(cast, place, answers)
    try:
        return (worked(cast, drawn, place, own), tuple(sorted(own))) if own else (drawn.exercises[place], ())
    except (ArithmeticError, ValueError):
        return drawn.exercises[place], ()


def mark_part(
    cast: CastJob, drawn: DrawnJob, place: int, answers: Sequence[float | None], text: str, decimal: str = "point"
) -> Marked:  # fmt: skip
    """Judge the answer to one step; ``answers`` are those before it, in the working units of their finds."""
    part, right = cast.parts[place], drawn.exercises[place]
    verdict = mark(part.mould, right, text, decimal)
    if verdict.right or verdict.value is None:
        return Marked(verdict, right, (), part.part.marks if verdict.right else 0)
    wrong = [Marked(verdict, right, (), 0)]
    mine = own_answers(cast, place, answers)
    drawn_only = {before: value for before, value in mine.items() if before not in part.needs}
    for own in _mixtures({before: value for before, value in mine.items() if before in part.needs}):
        try:
            exercise = worked(cast, drawn, place, drawn_only | own)
        except (ArithmeticError, ValueError):
            continue
        found = judged(part.mould, exercise, verdict.value)
        if found.right:
            return Marked(found, exercise, tuple(sorted(own)), part.part.marks)
        wrong.append(Marked(found, exercise, tuple(sorted(own)), 0))
    return _most_telling([*wrong[1:2], wrong[0]])


def left_out(cast: CastJob, drawn: DrawnJob, place: int) -> Marked:
    """Return the judgement of a step that was left out: no marks, and the right value to go on with."""
    says = _("This step was left out. The steps after it go on with the right value.")
    return Marked(Verdict("wrong", lambda: (_("Left out"), (says,))), drawn.exercises[place], (), 0)


def mark_all(
    cast: CastJob, drawn: DrawnJob, texts: Sequence[str], decimal: str = "point"
) -> tuple[Marked, ...]:
    """Judge the answers of the first steps in their order; an empty text is a step left out."""
    answers: list[float | None] = []
    out = []
    for place, text in enumerate(texts):
        one = (
            mark_part(cast, drawn, place, answers, text, decimal)
            if text.strip()
            else left_out(cast, drawn, place)
        )
        out.append(one)
        answers.append(one.verdict.value)
    return tuple(out)


def _mixtures(own: Mapping[int, float]) -> Iterator[dict[int, float]]:
    """Yield every choice of own answers, all of them first; that with none of them is the right working."""
    for picks in product((True, False), repeat=len(own)):
        chosen = {place: value for (place, value), pick in zip(own.items(), picks, strict=True) if pick}
        if chosen:
            yield chosen


def _most_telling(wrong: Sequence[Marked]) -> Marked:
    """Return the judgement that names a slip, else one that names a blunder, else the first."""
    named = [one for one in wrong if one.verdict.slips] or [one for one in wrong if one.verdict.generic]
    return (named or list(wrong))[0]
