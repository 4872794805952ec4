"""The class now, kept up to date; on the wall without names, unless the instructor shows them."""

from __future__ import annotations

from flask import render_template, request
from werkzeug.wrappers import Response

from trainer.drawing.measures import run, tally
from trainer.services.teaching import board
from trainer.web.access import me, parts
from trainer.web.instructor import bp

Page = str | tuple[str, int] | Response
WALLS = ("1", "names")
"""What the address asks of a wall: benches by number, or by name."""


@bp.get("/classes/<int:class_id>/now")
def class_now(class_id: int) -> Page:
    """The class now: slips as they are made, who is where, who has gone quiet."""
    wall = request.args.get("wall", "") if request.args.get("wall") in WALLS else ""
    template = (
        "instructor/board_region.html" if request.headers.get("X-Fragment") else "instructor/board.html"
    )
    with parts().database.reading() as session:
        found = board.of_class(session, parts().shelf, me().id, class_id, parts().clock())
    runs = {b.person.id: run(b.run, fid=f"run{i}") for i, b in enumerate(found.benches)}
    strokes = [tally(s.count, fid=f"tally{i}") for i, s in enumerate(found.stumbles)]
    return render_template(
        template, found=found, class_id=class_id, wall=wall, runs=runs, strokes=strokes,
        body_class="wall" if wall else "",
    )  # fmt: skip
