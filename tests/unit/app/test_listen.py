"""A broker's messages into a kitchen, by a program that dies at the worst moment."""

import pytest

from lidclock.app import sensor_topics, sensors
from lidclock.app.intake import Intake
from lidclock.app.now import now
from lidclock.errors import StoreError
from lidclock.gateways.broker import read_broker
from lidclock.gateways.mqtt import Listener
from lidclock.store.readings import ReadingStore
from unit.gateways.real_broker import real_broker

from .conftest import at

NOON = "2026-11-02T12:00"


@pytest.fixture
def kitchen(opened):
    """Probe A speaks under `a`, in °C."""
    session = opened(NOON)
    sensors.add_sensor(session, "Probe A", "Fridge", since=at("2026-10-01T00:00"))
    sensor_topics.set_topic(session, "Probe A", "a", "c")
    return session


def kept(session):
    with session.read() as unit:
        sensor = sensors.need_sensor(unit, "Probe A")
        store = ReadingStore(unit.connection, session.kitchen.id)
        return store.get(sensor.id).temps_c.tolist()


def listener(broker, intake, after=lambda: None):
    """A listener for `a`; `after` comes between a commit and its acknowledgement."""

    def keep(batch, settled):
        intake.messages("me", ["a"], batch, settled)
        after()

    found = read_broker(broker.url)
    return Listener(found, ["a"], keep, now=now, tell=lambda _: None)


def die():
    raise StoreError("dead")


def test_dead_between_commit_and_acknowledgement_each_reading_is_there_once(kitchen):
    """Equal bare numbers among them: nothing but the broker's word tells them apart."""
    intake = Intake(kitchen, now=now, tell=lambda _: None)
    wanted = [4.0, 4.0, 5.0, 4.0]
    with real_broker("log_type all") as broker:
        # Nobody listens yet: the broker has to know the session first.
        listener(broker, intake).run(lambda: met(broker))
        broker.publish_lines("a", [str(one) for one in wanted])
        with pytest.raises(StoreError):
            listener(broker, intake, die).run(lambda: False)
        stored = len(kept(kitchen))
        again = Intake(kitchen, now=now, tell=lambda _: None)
        listener(broker, again).run(lambda: again.counts.received >= len(wanted))

    assert stored > 0
    assert again.counts.known == stored
    assert kept(kitchen) == wanted


def met(broker):
    """Whether the broker has taken the subscription; it says so in its log."""
    return "Received SUBSCRIBE" in (broker.folder / "log").read_text()
