"""How a person wants the pages."""

from __future__ import annotations

from flask import flash, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from trainer.errors import Refused
from trainer.languages import LANGUAGES, _
from trainer.services.admitting import habits
from trainer.services.admitting.habits import CHOICES, Habits
from trainer.web.access import me, parts
from trainer.web.public.account import bp

Page = str | tuple[str, int] | Response
_LANGUAGES = [(tag, name, "") for tag, name in LANGUAGES.items()]
_HOUSE = {"point": "4.5 kA", "comma": "4,5 kA"}


@bp.get("/pages", endpoint="habits")
def habits_page() -> Page:
    """Show what the person has chosen."""
    return _page(me().habits)


@bp.post("/pages")
def keep_habits() -> Page:
    """Keep what the person chooses."""
    try:
        wanted = Habits(**{name: request.form.get(name, "")[:40] for name in CHOICES})
    except Refused as fault:
        return _page(me().habits, str(fault)), 422
    with parts().database.writing() as session:
        habits.keep(session, me().id, wanted)
    flash(_("Kept. Every page now comes this way, on every device that you sign in on."), "done")
    return redirect(url_for("account.habits"), 303)


def _page(chosen: Habits, fault: str = "") -> str:
    example = _HOUSE[parts().settings.decimal]
    return render_template(
        "public/habits.html", chosen=chosen, fault=fault, house=example, languages=_LANGUAGES
    )
