"""The stored hash of a calendar's secret."""

from datetime import UTC, datetime

from lidclock.domain.kitchens import Kitchen
from lidclock.store import Database, Kitchens
from lidclock.store.feeds import Feeds

AT = datetime(2026, 11, 3, 12, tzinfo=UTC)


def test_each_kitchen_has_one(tmp_path):
    path = tmp_path / "kitchen.db"
    with Database.open(path, create=True) as database, database.begin() as connection:
        for name in ("k", "other"):
            Kitchens(connection).add(Kitchen(name, "Test", "UTC"))
        feeds, others = Feeds(connection, "k"), Feeds(connection, "other")
        assert feeds.get() is None
        feeds.put("first", AT)
        feeds.put("second", AT)

        assert feeds.get() == ("second", AT)
        assert others.get() is None
        assert (others.drop(), feeds.drop(), feeds.drop()) == (False, True, False)
        assert feeds.get() is None
