"""Lay down the first tables.

The ledger (`event`) holds what happened and is only ever added to; `kitchen` and
`place` hold what a kitchen chose. The others are projections, kept so that a list needs
no fold, and may be dropped and rebuilt from the ledger at any time. Every table is
STRICT: a value of the wrong type is refused, not stored.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0001"
down_revision = None
branch_labels = None
depends_on = None

MICROS = sa.BigInteger().with_variant(sa.Integer(), "sqlite")


def upgrade() -> None:
    _kitchen()
    _place()
    _event()
    _food()
    _batch()
    _container()
    _container_subject()


def _kitchen() -> None:
    op.create_table(
        "kitchen",
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("zone_name", sa.Text(), nullable=False),
        sa.Column("guidance", sa.Text(), nullable=False),
        sa.Column("units", sa.Text(), nullable=False),
        sa.Column("day_start_h", sa.Integer(), nullable=False),
        sa.Column("lead_h", sa.Integer(), nullable=False),
        sa.Column("stock", sa.Text(), nullable=False),
        sa.Column("symbol_base", sa.Text(), nullable=False),
        sa.Column("accepts_unmeasured", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("id"),
        sqlite_strict=True,
    )


def _place() -> None:
    op.create_table(
        "place",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("position", sa.Integer(), nullable=False),
        sa.Column("name", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchen.id"]),
        sa.PrimaryKeyConstraint("kitchen_id", "name_key"),
        sqlite_strict=True,
    )


def _event() -> None:
    op.create_table(
        "event",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("kind", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("happened_us", MICROS, nullable=False),
        sa.Column("recorded_us", MICROS, nullable=False),
        sa.Column("zone", sa.Text(), nullable=False),
        sa.Column("who", sa.Text(), nullable=False),
        sa.Column("device", sa.Text(), nullable=False),
        sa.Column("act", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.ForeignKeyConstraint(["kitchen_id"], ["kitchen.id"]),
        sa.PrimaryKeyConstraint("kitchen_id", "id"),
        sqlite_strict=True,
    )
    op.create_index(
        "event_by_act",
        "event",
        ["kitchen_id", "act"],
        sqlite_where=sa.text("act <> ''"),
    )
    op.create_index("event_by_recording", "event", ["kitchen_id", "recorded_us", "id"])
    op.create_index(
        "event_by_subject",
        "event",
        ["kitchen_id", "subject", "happened_us"],
    )
    op.create_index(
        "event_correcting",
        "event",
        ["kitchen_id", "recorded_us", "id"],
        sqlite_where=sa.text("kind = 'corrected'"),
    )
    op.create_index(
        "event_filling_once",
        "event",
        ["kitchen_id", "subject"],
        unique=True,
        sqlite_where=sa.text("kind = 'filled'"),
    )
    op.create_index(
        "event_making",
        "event",
        ["kitchen_id"],
        sqlite_where=sa.text("kind = 'made'"),
    )


def _food() -> None:
    op.create_table(
        "food",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("name_key", sa.Text(), nullable=False),
        sa.Column("body", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("kitchen_id", "name_key"),
        sqlite_strict=True,
    )


def _batch() -> None:
    op.create_table(
        "batch",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("id", sa.Text(), nullable=False),
        sa.Column("number", sa.Integer(), nullable=False),
        sa.Column("food", sa.Text(), nullable=False),
        sa.Column("made_us", MICROS, nullable=False),
        sa.Column("total_g", sa.REAL()),
        sa.Column("components", sa.Text(), nullable=False),
        sa.Column("lot", sa.Text(), nullable=False),
        sa.Column("count", sa.Integer(), nullable=False),
        sa.PrimaryKeyConstraint("kitchen_id", "id"),
        sqlite_strict=True,
    )
    op.create_index("batch_by_number", "batch", ["kitchen_id", "number"])


def _container() -> None:
    op.create_table(
        "container",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.Column("food", sa.Text(), nullable=False),
        sa.Column("food_key", sa.Text(), nullable=False),
        sa.Column("standing", sa.Text(), nullable=False),
        sa.Column("batch_number", sa.Integer()),
        sa.Column("batch_id", sa.Text()),
        sa.Column("index", sa.Integer()),
        sa.Column("of", sa.Integer()),
        sa.Column("lot", sa.Text(), nullable=False),
        sa.Column("place", sa.Text(), nullable=False),
        sa.Column("state", sa.Text(), nullable=False),
        sa.Column("mass_g", sa.REAL()),
        sa.Column("made_us", MICROS),
        sa.Column("opened_us", MICROS),
        sa.Column("last_moment_us", MICROS),
        sa.Column("last_day", sa.Text()),
        sa.Column("best_by", sa.Text()),
        sa.Column("days_left", sa.Integer()),
        sa.Column("binding", sa.Text(), nullable=False),
        sa.Column("is_house_rule", sa.Integer(), nullable=False),
        sa.Column("is_unverified", sa.Integer(), nullable=False),
        sa.Column("has_hour", sa.Integer(), nullable=False),
        sa.Column("is_labelled", sa.Integer(), nullable=False),
        sa.Column("is_unmarked", sa.Integer(), nullable=False),
        sa.Column("end_kind", sa.Text(), nullable=False),
        sa.Column("end_reason", sa.Text(), nullable=False),
        sa.Column("ended_us", MICROS),
        sa.Column("subjects", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("kitchen_id", "code"),
        sqlite_strict=True,
    )
    op.create_index("container_by_batch", "container", ["kitchen_id", "batch_number"])
    op.create_index("container_by_food", "container", ["kitchen_id", "food_key"])
    op.create_index(
        "container_by_last_moment",
        "container",
        ["kitchen_id", "standing", "last_moment_us", "code"],
    )
    op.create_index("container_by_place", "container", ["kitchen_id", "place"])
    op.create_index(
        "container_unmarked",
        "container",
        ["kitchen_id", "code"],
        sqlite_where=sa.text("is_unmarked = 1 AND standing <> 'ended'"),
    )


def _container_subject() -> None:
    op.create_table(
        "container_subject",
        sa.Column("kitchen_id", sa.Text(), nullable=False),
        sa.Column("subject", sa.Text(), nullable=False),
        sa.Column("code", sa.Text(), nullable=False),
        sa.PrimaryKeyConstraint("kitchen_id", "subject", "code"),
        sqlite_strict=True,
    )
    op.create_index(
        "container_subject_by_code",
        "container_subject",
        ["kitchen_id", "code"],
    )
