"""${message}

A step that has been taken somewhere is never changed: write a new one. A new column that may not be
empty needs a server default or a second statement that fills it.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

${imports if imports else ""}
revision = "${up_revision}"
down_revision = ${repr(down_revision)}


def upgrade() -> None:
    ${upgrades if upgrades else "pass"}


def downgrade() -> None:
    ${downgrades if downgrades else "pass"}
