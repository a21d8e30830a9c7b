"""Find the lids that nobody found without reading all those that have ended.

Only an index: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0002"
down_revision = "0001"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.create_index(
        "container_missing",
        "container",
        ["kitchen_id", "ended_us", "code"],
        sqlite_where=sa.text("end_kind = 'missing'"),
    )
