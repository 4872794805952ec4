"""Pages of the employer and the Level III: who is due, the standing of their people, the chain of notes."""

from trainer.web.access import guarded_blueprint

bp = guarded_blueprint("employer", __name__, {"employer", "level_iii"}, "/employer")
