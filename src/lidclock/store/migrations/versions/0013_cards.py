"""Keep what each device's last card showed, so that a number means what was seen.

Only a new table: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0013"
down_revision = "0012"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "card",
        sa.Column(
            "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
        ),
        sa.Column("device", sa.Text(), primary_key=True),
        sa.Column(
            "shown_us",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            nullable=False,
        ),
        sa.Column("body", sa.Text(), nullable=False),
        sqlite_strict=True,
    )
