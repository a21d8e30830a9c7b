"""Keep the hash of the secret under which a kitchen's calendar is read.

Only a new table: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0015"
down_revision = "0014"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "feed",
        sa.Column(
            "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
        ),
        sa.Column("token_hash", sa.Text(), nullable=False),
        sa.Column(
            "made_us",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            nullable=False,
        ),
        sqlite_strict=True,
    )
