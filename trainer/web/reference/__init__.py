"""Pages to look things up, for everybody signed in; closed to those who are sitting a paper."""

from trainer.store.models import ROLES
from trainer.web.access import guarded_blueprint
from trainer.web.closing import closed_in_a_sitting

bp = closed_in_a_sitting(guarded_blueprint("reference", __name__, frozenset(ROLES), "/reference"))
