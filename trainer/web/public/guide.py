"""How the program is used: one page a role with pictures from the running program, and a sheet for the wall.

Open to everybody: nothing here is anybody's record. Names and numbers in the pictures are invented.
"""

from __future__ import annotations

from datetime import timedelta
from typing import Any

from flask import render_template

from trainer.drawing.measures import Due, SlipMark, distribution, gauge, rule, ruler, run, seal
from trainer.drills.mistaken import mistaken
from trainer.errors import NotFound
from trainer.formulas.typed import read_answer
from trainer.formulas.units import unit
from trainer.formulas.writing import amount
from trainer.languages import N_, _
from trainer.practice.skill import KEEP, LEAST_ANSWERS, PROOF_GAPS, STEADY_AT
from trainer.web.access import parts, this_day
from trainer.web.public.entry import bp
from trainer.web.sheets import presenting
from trainer.web.sheets.days import day

EXAMPLE = ("coil-low-fill-wall", "I", "radius-for-diameter")  # drill, what is asked, the slip that is made
SEED = 7
ROLES = (N_("trainee"), N_("instructor"), N_("employer"))
# What may be typed, and the unit in which the sheet says what was read.
TYPED = (
    ("1875 A", "A"),
    ("1.8 kA", "A"),
    ("3 1/2 in", "mm"),
    ('12"', "mm"),
    ("95 mm2", "mm2"),
    ("25 %", "percent"),
)
ON_THE_WALL = ("current", "heat", "pull", "implants", "uv-lamp")


@bp.get("/help/<role>")
def guide(role: str) -> str:
    """What one role does, in the order in which it is done."""
    if role not in ROLES:
        raise NotFound(_("There is no such help page. There is one for trainees, instructors and employers."))
    pictures = {"trainee": _trainee, "instructor": _instructor, "employer": _employer}[role]()
    others = [one for one in ROLES if one != role]
    return render_template(f"public/guide_{role}.html", pictures=pictures, role=role, others=others)


@bp.get("/help/sheet")
def quick_sheet() -> str:
    """One sheet of paper: how answers are typed, what the dial says, what to mind before the current goes on."""
    cautions = parts().bank.cautions
    return render_template(
        "public/quick_sheet.html",
        typed=[(text, _read(text, shown)) for text, shown in TYPED],
        pictures=_trainee(),
        cautions=[cautions[one].text for one in ON_THE_WALL if one in cautions],
        today=day(this_day()),
    )


def _read(text: str, shown: str) -> str:
    """What the marking reads in a typed text, in the unit ``shown``."""
    typed = read_answer(text)
    if typed.unit is None:
        raise ValueError(f"{text} is shown as an example and has no unit")
    return amount(typed.unit.to(unit(shown), typed.value), shown)


def _trainee() -> dict[str, Any]:
    """An exercise, the dial over an answer with one slip in it, and the rule for what is proven."""
    drill_id, find, slip = EXAMPLE
    mould = parts().shelf.mould(drill_id, find)
    found = mistaken(mould, SEED, slip)
    if found is None:
        raise ValueError(f"{drill_id} shows no {slip}")
    exercise, verdict = found
    return {
        "exercise": presenting.exercise_view(mould, exercise, "example"),
        "verdict": presenting.verdict_view(mould, exercise, verdict, "example-dial"),
        "rule": rule(STEADY_AT, LEAST_ANSWERS, KEEP, PROOF_GAPS),
    }


def _instructor() -> dict[str, Any]:
    """Two runs of answers, and a class's answers to one question on one line."""
    answers = (0.97, 0.98, 1.0, 1.0, 1.01, 1.02, 1.02, 1.03, 0.99, 2.0, 2.0, 2.01)
    slips = (SlipMark(2.0, _("the radius went in for the diameter"), 3),)
    return {
        "good": run((True, True, False, True, True, True, True, True), fid="run-a"),
        "stuck": run((True, False, False, True, False, False, True, False), fid="run-b"),
        "spread": distribution(answers, 0.95, 1.05, _("times what is right"), _("Answers of a class"), slips),
    }


def _employer() -> dict[str, Any]:
    """What runs out in the weeks ahead, hours held against hours needed, and the seal of a good record."""
    today = this_day()
    dues = [
        Due(_("%(number)s, near vision", number="TV-07"), today + timedelta(days=13)),
        Due(_("%(number)s, near vision", number="TV-03"), today + timedelta(days=48)),
        Due(_("%(number)s, colour contrast", number="TV-11"), today + timedelta(days=76)),
    ]
    hours = (_("Training hours"), 9, 12)
    return {
        "ruler": ruler(dues, today),
        "gauge": gauge(hours[1], hours[2], hours[0], has=f"{hours[1]} h", needs=f"{hours[2]} h"),
        "seal": seal("whole"),
    }
