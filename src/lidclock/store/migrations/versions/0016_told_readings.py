"""Keep which readings devices told, so that one that is sent twice is had once.

Only a new table: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0016"
down_revision = "0015"
branch_labels = None
depends_on = None

_MICROS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_NUMBER: sa.types.TypeEngine[float] = sa.Double().with_variant(sa.REAL(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "told_reading",
        sa.Column("kitchen_id", sa.Text(), primary_key=True),
        sa.Column("id", sa.Text(), primary_key=True),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("told_us", _MICROS, nullable=False),
        sa.Column("temp_c", _NUMBER, nullable=False),
        sqlite_strict=True,
    )
