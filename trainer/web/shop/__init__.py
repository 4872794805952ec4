"""Pages for everybody who works on real parts. Each module hangs its pages on the one guarded blueprint."""

from trainer.store.models import ROLES
from trainer.web.access import guarded_blueprint

bp = guarded_blueprint("shop", __name__, frozenset(ROLES), "/work")
