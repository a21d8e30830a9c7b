"""A kitchen of before learns when what thaws is ready, from what was recorded."""

import sqlite3
from datetime import UTC, datetime, timedelta

from lidclock.app import corrections, moves, prep, setup
from lidclock.app.session import Session
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen

NOW = datetime(2026, 11, 1, 3, 30, tzinfo=UTC)


def thawing(path):
    session = Session.open(path, now=NOW)
    with session.read() as unit:
        found = {one.code: one.ready_at for one in unit.snapshots.thawing()}
    session.close()
    return found


def test_the_column_is_filled_as_a_fold_would_fill_it(tmp_path):
    path = tmp_path / "kitchen.db"
    setup.init_kitchen(path, Kitchen("", "Test kitchen", "America/New_York"))
    session = Session.open(path, now=NOW)
    with session.write() as unit:
        order = prep.Order(Food("stew", "soup-stew", ()), 2, place=session.places[0])
        first, second = prep.prep(unit, order).codes
    for code in (first, second):
        with session.write() as unit:
            moves.freeze(unit, code)
        with session.write() as unit:
            out = moves.thaw(unit, code, ready_at=NOW + timedelta(hours=8))
    with session.write() as unit:
        corrections.take_back(unit, out.act)
    session.close()
    before = thawing(path)
    assert before == {first: NOW + timedelta(hours=8)}

    old = sqlite3.connect(path)
    old.execute("DROP INDEX container_ready")
    old.execute("ALTER TABLE container DROP COLUMN ready_us")
    old.execute("UPDATE alembic_version SET version_num = '0016'")
    old.commit()
    old.close()

    assert thawing(path) == before
