"""Let a kitchen remember which sensor speaks under which topic, and who listened.

Only new tables: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0011"
down_revision = "0010"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "sensor_topic",
        _kitchen_key(),
        sa.Column("topic", sa.Text(), primary_key=True),
        sa.Column("sensor_id", sa.Text(), nullable=False),
        sa.Column("unit", sa.Text(), nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "listener",
        _kitchen_key(),
        sa.Column("client", sa.Text(), primary_key=True),
        sa.Column("body", sa.Text(), nullable=False),
        sqlite_strict=True,
    )


def _kitchen_key() -> sa.Column[str]:
    return sa.Column(
        "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
    )
