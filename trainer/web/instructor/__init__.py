"""Pages of those who teach. Each module hangs its pages on the one guarded blueprint."""

from trainer.web.access import guarded_blueprint

bp = guarded_blueprint("instructor", __name__, {"instructor"}, "/instructor")
