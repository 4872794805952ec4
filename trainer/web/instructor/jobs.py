"""Several-part jobs looked at before they are given to a class: every step with its working."""

from __future__ import annotations

import secrets

from flask import render_template

from trainer.jobs.draw import draw
from trainer.web.access import parts
from trainer.web.instructor import bp
from trainer.web.sheets import job_sheet

LARGEST_SHOWN_SEED = 9999


@bp.get("/jobs/<job_id>")
def job_preview(job_id: str) -> str:
    """One draw of a job with the working of every step; other numbers at every press."""
    cast = parts().jobs.job(job_id)
    drawn = draw(cast, secrets.randbelow(LARGEST_SHOWN_SEED))
    return render_template(
        "instructor/job_preview.html", job=cast.job, situation=cast.job.situations[drawn.situation],
        steps=job_sheet.preview_views(parts().bank, cast, drawn), given=job_sheet.given_rows(cast, drawn),
        cautions=job_sheet.cautions(parts().bank, cast),
        title_rows=job_sheet.title_rows(cast, drawn, str(cast.job.marks)),
    )  # fmt: skip
