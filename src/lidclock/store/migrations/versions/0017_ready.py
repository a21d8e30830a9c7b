"""Find what was taken out to thaw by its hour without folding every container.

Only a derived column and its index: what was recorded stays as it is.
"""

from __future__ import annotations

import json
from datetime import UTC, datetime, timedelta

import sqlalchemy as sa
from alembic import op

revision = "0017"
down_revision = "0016"
branch_labels = None
depends_on = None

_LAST_PLACED = """
SELECT kitchen_id, subject, body FROM event AS placed
WHERE kind = 'placed' AND NOT EXISTS (
    SELECT 1 FROM event AS undone
    WHERE undone.kitchen_id = placed.kitchen_id AND undone.kind = 'corrected'
        AND json_extract(undone.body, '$.event') = placed.id
        AND json_extract(undone.body, '$.void')
)
ORDER BY happened_us, id
"""
_PUT = (
    "UPDATE container SET ready_us = :ready_us "
    "WHERE kitchen_id = :kitchen_id AND code = :code AND standing <> 'ended'"
)


_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def _micros(text: str) -> int:
    return (datetime.fromisoformat(text) - _EPOCH) // timedelta(microseconds=1)


def upgrade() -> None:
    op.add_column("container", sa.Column("ready_us", sa.Integer()))
    connection = op.get_bind()
    last: dict[tuple[str, str], str | None] = {}
    for kitchen_id, code, body in connection.execute(sa.text(_LAST_PLACED)):
        last[kitchen_id, code] = json.loads(body).get("ready_at")
    for (kitchen_id, code), ready_at in last.items():
        if ready_at is not None:
            row = {"kitchen_id": kitchen_id, "code": code}
            connection.execute(sa.text(_PUT), {**row, "ready_us": _micros(ready_at)})
    op.create_index(
        "container_ready",
        "container",
        ["kitchen_id", "ready_us", "code"],
        sqlite_where=sa.text("ready_us IS NOT NULL"),
    )
