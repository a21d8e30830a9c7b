"""Let a kitchen keep a local rule set and say that people at higher risk eat there.

A container's row remembers who approved the limit that binds, so that lists can say so.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0003"
down_revision = "0002"
branch_labels = None
depends_on = None


def upgrade() -> None:
    op.add_column("kitchen", _column("is_high_risk", sa.Integer, "'0'"))
    op.add_column("kitchen", _column("guidance_text", sa.Text, "''"))
    op.add_column("container", _column("approval", sa.Text, "''"))


def _column(
    name: str, kind: type[sa.Text] | type[sa.Integer], default: str
) -> sa.Column[object]:
    return sa.Column(name, kind, server_default=sa.text(default), nullable=False)
