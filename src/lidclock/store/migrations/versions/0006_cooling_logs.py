"""Find the containers that are cooling without folding every one.

Only a derived column and its index: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0006"
down_revision = "0005"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("container", sa.Column("cooling_us", sa.Integer()))
    op.create_index(
        "container_cooling",
        "container",
        ["kitchen_id", "cooling_us", "code"],
        sqlite_where=sa.text("cooling_us IS NOT NULL"),
    )
