"""Pages of those who learn. Each module hangs its pages on the one guarded blueprint."""

from trainer.web.access import guarded_blueprint

bp = guarded_blueprint("trainee", __name__, {"trainee"}, "/trainee")
