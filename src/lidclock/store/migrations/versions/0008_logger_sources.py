"""Let a kitchen remember how to read the files of each logger.

Only a new table: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0008"
down_revision = "0007"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "logger_source",
        sa.Column(
            "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
        ),
        sa.Column("source", sa.Text(), primary_key=True),
        sa.Column("body", sa.Text(), nullable=False),
        sqlite_strict=True,
    )
