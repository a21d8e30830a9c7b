"""Let a kitchen keep sensors, where they were, how far off, and what they said.

Only new tables: what was recorded stays as it is.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0007"
down_revision = "0006"
branch_labels = None
depends_on = None

_MICROS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
_NUMBER: sa.types.TypeEngine[float] = sa.Double().with_variant(sa.REAL(), "sqlite")


def upgrade() -> None:
    op.create_table(
        "sensor",
        sa.Column(
            "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
        ),
        _key("id"),
        *_texts("name_key", "name"),
        sa.Column("interval_s", _NUMBER),
        *_texts("note"),
        sa.Column("is_typed", sa.Integer(), nullable=False),
        sqlite_strict=True,
    )
    op.create_index("sensor_by_name", "sensor", ["kitchen_id", "name_key"], unique=True)
    op.create_table(
        "sensor_place",
        *(_key("kitchen_id"), _key("sensor_id"), _key("since_us", _MICROS)),
        *_texts("place"),
        sqlite_strict=True,
    )
    op.create_table(
        "sensor_offset",
        *(_key("kitchen_id"), _key("sensor_id"), _key("since_us", _MICROS)),
        sa.Column("offset_c", _NUMBER, nullable=False),
        *_texts("method"),
        sa.Column("measured_c", _NUMBER),
        sqlite_strict=True,
    )
    op.create_table(
        "place_lag",
        *(_key("kitchen_id"), _key("name_key")),
        sa.Column("lag_s", _NUMBER, nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "reading_block",
        *(_key("kitchen_id"), _key("sensor_id"), _key("started_us", _MICROS)),
        sa.Column("ended_us", _MICROS, nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.Column("recorded_us", _MICROS, nullable=False),
        *_texts("who", "device"),
        sa.Column("packed", sa.LargeBinary(), nullable=False),
        sqlite_strict=True,
    )
    op.create_table(
        "reading_correction",
        *(_key("kitchen_id"), _key("sensor_id")),
        *(_key("at_us", _MICROS), _key("recorded_us", _MICROS)),
        sa.Column("temp_c", _NUMBER),
        *_texts("who", "reason"),
        sqlite_strict=True,
    )


def _key(name: str, kind: object = None) -> sa.Column[object]:
    return sa.Column(name, kind or sa.Text(), primary_key=True)  # type: ignore[arg-type]


def _texts(*names: str) -> list[sa.Column[str]]:
    return [sa.Column(name, sa.Text(), nullable=False) for name in names]
