"""Let a kitchen say how often each sensor is to be checked in ice.

Only a new column: a sensor of which nobody said so is checked as often as before.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0012"
down_revision = "0011"
branch_labels = None
depends_on = None

_NUMBER: sa.types.TypeEngine[float] = sa.Double().with_variant(sa.REAL(), "sqlite")


def upgrade() -> None:
    op.add_column("sensor", sa.Column("check_every_s", _NUMBER))
