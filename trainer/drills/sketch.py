"""The figure of an exercise, and its field picture: its numbers put into the roles that the drill names."""

from __future__ import annotations

from collections.abc import Collection

from trainer.bank.drill import Drill
from trainer.drawing.fieldpictures import FieldPicture, draw_field
from trainer.drawing.figures import Figure, Shown, draw
from trainer.drills.exercise import Exercise
from trainer.errors import Refused
from trainer.formulas.writing import amount, with_unit


def sketch(
    drill: Drill,
    exercise: Exercise,
    fid: str,
    *,
    solved: bool = False,
    live: Collection[str] = (),
) -> Figure:
    """Draw the exercise's figure; before it is answered the unknown is a question mark.

    ``live`` names quantities to show in the live colour: the one a slip is about.
    """
    roles = {}
    for role, source in drill.figure.roles.items():
        shown = _shown(drill, exercise, source, solved, live)
        if shown is not None:
            roles[role] = shown
    return draw(drill.figure.kind, fid, roles, drill.figure.words)


def field_roles(drill: Drill, exercise: Exercise) -> dict[str, Shown] | None:
    """Return the numbers of the drill's field picture; None where the drill or this find has none.

    A find that leaves a size open (only L/D is known) has too few numbers for a picture to scale.
    """
    if drill.field is None:
        return None
    found = {r: _shown(drill, exercise, source, True, ()) for r, source in drill.field.roles.items()}
    roles = {role: shown for role, shown in found.items() if shown is not None}
    return roles if len(roles) == len(found) else None


def field_picture(drill: Drill, exercise: Exercise, fid: str) -> FieldPicture | None:
    """Draw the computed field for the solved exercise; None where there is no picture."""
    roles = field_roles(drill, exercise)
    if drill.field is None or roles is None:
        return None
    return draw_field(drill.field.kind, fid, roles, drill.field.words)


def _shown(
    drill: Drill, exercise: Exercise, source: str, solved: bool, live: Collection[str]
) -> Shown | None:
    quantity = drill.quantities.get(source)
    if quantity is None:
        return fixed(source)
    if source not in exercise.values:
        return None
    value = exercise.values[source]
    asked = source == exercise.find
    if source in exercise.texts:
        text = with_unit(exercise.texts[source], quantity.unit)
    elif asked and not solved:
        text = "?"
    elif solved:
        text = amount(value, quantity.unit, 4)
    else:
        return None
    return Shown(value, quantity.unit, text, quantity.shown or source, asked or source in live)


def fixed(source: str) -> Shown:
    """Return a fixed amount such as "12 in" as a figure takes it; Refused for what is none."""
    number, _, unit_name = source.partition(" ")
    try:
        value = float(number)
    except ValueError:
        raise Refused(
            f"'{source}' is neither a quantity of this drill nor a fixed amount such as 12 in"
        ) from None
    return Shown(value, unit_name or "1", with_unit(number, unit_name or "1"), "")
