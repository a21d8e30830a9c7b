"""Link each container to the places it was in, whose readings are charged to it.

Only derived rows: what was recorded stays as it is.
"""

from __future__ import annotations

import json

import sqlalchemy as sa
from alembic import op

revision = "0009"
down_revision = "0008"
branch_labels = None
depends_on = None

_PLACED = "SELECT kitchen_id, subject, body FROM event WHERE kind = 'placed'"
_SUBJECTS = "SELECT kitchen_id, code, subjects FROM container"
_PUT = (
    "UPDATE container SET subjects = :subjects "
    "WHERE kitchen_id = :kitchen_id AND code = :code"
)
_LINK = (
    "INSERT OR IGNORE INTO container_subject (kitchen_id, subject, code) "
    "VALUES (:kitchen_id, :subject, :code)"
)


def upgrade() -> None:
    connection = op.get_bind()
    places: dict[tuple[str, str], set[str]] = {}
    for kitchen_id, code, body in connection.execute(sa.text(_PLACED)):
        name = json.loads(body).get("place")
        if name:
            there = places.setdefault((kitchen_id, code), set())
            there.add("place/" + name.casefold())
    for kitchen_id, code, subjects in connection.execute(sa.text(_SUBJECTS)).fetchall():
        found = sorted(places.get((kitchen_id, code), ()))
        if not found:
            continue
        row = {"kitchen_id": kitchen_id, "code": code}
        every = json.dumps(
            [*json.loads(subjects), *found], separators=(",", ":"), ensure_ascii=False
        )
        connection.execute(sa.text(_PUT), {**row, "subjects": every})
        for subject in found:
            connection.execute(sa.text(_LINK), {**row, "subject": subject})
