"""A drill looked at before it is set: one exercise with its working, and the field behind its rule."""

from __future__ import annotations

import secrets

from flask import render_template, request, url_for

from trainer.drills.exercise import Exercise
from trainer.drills.mould import Mould
from trainer.drills.sketch import field_roles
from trainer.errors import NotFound
from trainer.languages import _
from trainer.web.access import parts
from trainer.web.instructor import bp
from trainer.web.sheets import presenting

LARGEST_SHOWN_SEED = 9999


@bp.get("/drills/<drill_id>")
def drill_preview(drill_id: str) -> str:
    """One exercise of a drill with its working, as the class will see it; other numbers at every press."""
    mould, drawn = _drawn(drill_id, secrets.randbelow(LARGEST_SHOWN_SEED))
    drill, why = mould.read.drill, None
    if field_roles(drill, drawn) is not None:
        why = url_for("instructor.drill_why", drill_id=drill_id, find=mould.find, seed=drawn.seed)
    return render_template(
        "instructor/set_preview.html", drill=drill, find=mould.find, why=why,
        view=presenting.exercise_view(mould, drawn), working=presenting.working_view(parts().bank, mould, drawn),
        figure=presenting.solved_figure(mould, drawn, None), title_rows=presenting.title_rows(drill, drawn),
    )  # fmt: skip


@bp.get("/drills/<drill_id>/why")
def drill_why(drill_id: str) -> str:
    """The computed field behind the rule, for the numbers that were looked at."""
    seed = request.args.get("seed", 0, type=int)
    mould, drawn = _drawn(drill_id, min(max(seed, 0), LARGEST_SHOWN_SEED))
    view = presenting.field_view(parts().bank, mould, drawn)
    if view is None:
        raise NotFound(_("There is no field picture for this exercise. Its working says how the rule goes."))
    return render_template(
        "instructor/why.html", view=view, drill=mould.read.drill,
        back=url_for("instructor.drill_preview", drill_id=drill_id, find=mould.find),
        title_rows=presenting.title_rows(mould.read.drill, drawn),
    )  # fmt: skip


def _drawn(drill_id: str, seed: int) -> tuple[Mould, Exercise]:
    """Draw the exercise of this seed for the find that was asked for, the drill's first if none was."""
    shelf, find = parts().shelf, request.args.get("find") or None
    if find is not None and find not in shelf.bank.drill(drill_id).drill.finds:
        raise NotFound(_("This drill does not ask for that."))
    mould = shelf.mould(drill_id, find)
    return mould, shelf.draw(drill_id, seed, mould.find)
