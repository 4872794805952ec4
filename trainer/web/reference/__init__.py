"""Pages to look things up, for everybody signed in; closed to those who are sitting a paper."""

from __future__ import annotations

from werkzeug.wrappers import Response

from trainer.store.models import ROLES
from trainer.web.access import guarded_blueprint
from trainer.web.closing import to_own_paper

bp = guarded_blueprint("reference", __name__, frozenset(ROLES), "/reference")


@bp.before_request
def no_help() -> Response | None:
    """While somebody sits a paper there is nothing to look up: they are led to the paper."""
    return to_own_paper()
