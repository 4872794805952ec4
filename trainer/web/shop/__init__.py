"""Pages for everybody who works on real parts; closed to those who are sitting a paper, since they do its sums.

Each module hangs its pages on the one guarded blueprint.
"""

from trainer.store.models import ROLES
from trainer.web.access import guarded_blueprint
from trainer.web.closing import closed_in_a_sitting

bp = closed_in_a_sitting(guarded_blueprint("shop", __name__, frozenset(ROLES), "/work"))
