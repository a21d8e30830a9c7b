"""Let a kitchen know its people and their devices, and who is at the page.

Only new tables: what was recorded stays as it is. Secrets are kept as hashes.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op

revision = "0014"
down_revision = "0013"
branch_labels = None
depends_on = None


def upgrade() -> None:
    _make("secret", ["kind"], ["value"])
    op.create_table(
        "person",
        _kitchen_key(),
        sa.Column("id", sa.Text(), primary_key=True),
        *map(_text, ["handle_key", "handle", "role", "code_hash"]),
        sa.Index("person_by_handle", "kitchen_id", "handle_key", unique=True),
        sqlite_strict=True,
    )
    _make(
        *("device", ["id"], ["name", "role", "person_id", "token_hash"]),
        ["paired_us", "seen_us"],
    )
    _make(
        *("visit", ["token_hash"], ["device_id", "person_id", "role"]),
        ["begun_us", "seen_us", "ends_us"],
    )
    _make("pairing", ["secret_hash"], ["role", "person_id", "made_by"], ["ends_us"])
    op.create_table(
        "attempt",
        _kitchen_key(),
        sa.Column("subject", sa.Text(), primary_key=True),
        sa.Column("wrong", sa.Integer(), nullable=False),
        *map(_micros, ["last_us", "free_us"]),
        sqlite_strict=True,
    )


def _make(
    name: str, keys: list[str], texts: list[str], moments: list[str] | None = None
) -> None:
    op.create_table(
        name,
        _kitchen_key(),
        *(sa.Column(key, sa.Text(), primary_key=True) for key in keys),
        *map(_text, texts),
        *map(_micros, moments or []),
        sqlite_strict=True,
    )


def _kitchen_key() -> sa.Column[str]:
    return sa.Column(
        "kitchen_id", sa.Text(), sa.ForeignKey("kitchen.id"), primary_key=True
    )


def _text(name: str) -> sa.Column[str]:
    return sa.Column(name, sa.Text(), nullable=False)


def _micros(name: str) -> sa.Column[int]:
    kind = sa.BigInteger().with_variant(sa.Integer(), "sqlite")
    return sa.Column(name, kind, nullable=False)
