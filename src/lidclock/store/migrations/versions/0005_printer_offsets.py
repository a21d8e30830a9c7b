"""Let a printer keep how far its print lies off, measured with a page of rulers.

Only new columns: a printer that nobody measured prints where it printed before.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0005"
down_revision = "0004"
branch_labels = None
depends_on = None


def upgrade() -> None:
    for name in ("offset_right_um", "offset_down_um"):
        op.add_column(
            "printer",
            sa.Column(
                name,
                sa.Integer(),
                sa.CheckConstraint(f"{name} BETWEEN -20000 AND 20000"),
                server_default=sa.text("'0'"),
                nullable=False,
            ),
        )
