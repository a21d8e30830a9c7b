"""Let a kitchen keep its printers, one of them the default for each label stock.

Only a new table: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0004"
down_revision = "0003"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_table(
        "printer",
        sa.Column(
            "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
        ),
        sa.Column("name_key", sa.Text(), primary_key=True),
        *(sa.Column(name, sa.Text(), nullable=False) for name in _TEXTS),
        sa.Column("is_default", sa.Integer(), nullable=False),
        sqlite_strict=True,
    )
    op.create_index(
        "printer_default",
        "printer",
        ["kitchen_id", "stock"],
        unique=True,
        sqlite_where=sa.text("is_default = 1"),
    )


_TEXTS = ("name", "address", "stock")
