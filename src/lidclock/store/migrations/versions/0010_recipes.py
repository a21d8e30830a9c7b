"""Let a kitchen keep its recipes, every version of them.

Only a new table: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0010"
down_revision = "0009"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "recipe",
        sa.Column(
            "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
        ),
        sa.Column("name_key", sa.Text(), primary_key=True),
        sa.Column("version", sa.Integer(), primary_key=True),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.Column("is_toml", sa.Integer(), nullable=False),
        sa.Column(
            "added_us",
            sa.BigInteger().with_variant(sa.Integer(), "sqlite"),
            nullable=False,
        ),
        sa.Column("who", sa.Text(), nullable=False),
        sqlite_strict=True,
    )
