"""Pages of those who teach; closed to those of them who are sitting a paper themselves.

Each module hangs its pages on the one guarded blueprint.
"""

from trainer.web.access import guarded_blueprint
from trainer.web.closing import closed_in_a_sitting

bp = closed_in_a_sitting(guarded_blueprint("instructor", __name__, {"instructor"}, "/instructor"))
