"""What a device's last card showed."""

from datetime import UTC, datetime

from lidclock.store.cards import Cards

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)


def test_each_device_keeps_its_last_card(database):
    with database.begin() as connection:
        cards = Cards(connection, "home")
        cards.put("phone", NOON, [("a", "use a"), ("b", "use b")])
        cards.put("tablet", NOON, [])
        cards.put("phone", NOON, [("c", "use c")])

        assert cards.get("phone") == (NOON, [("c", "use c")])
        assert cards.get("tablet") == (NOON, [])
        assert cards.get("desk") is None
