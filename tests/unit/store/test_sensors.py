"""Sensors in the database: names, places over time, offsets, lags."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.readings import Assignment, Offset, Sensor
from lidclock.errors import RefusedError
from lidclock.store.sensors import Sensors

START = datetime(2026, 11, 2, 8, tzinfo=UTC)
PROBE = Sensor("id-1", "Probe", 60.0, "top shelf")


@pytest.fixture
def sensors(database):
    with database.begin() as connection:
        yield Sensors(connection, "home")


def test_a_sensor_comes_back_as_it_was_added(sensors):
    typed = Sensor("id-2", "Fridge, typed", None, "", is_typed=True)

    assert not sensors.any()
    sensors.add(PROBE)
    sensors.add(typed)

    assert sensors.any()
    assert sensors.all() == [typed, PROBE]


@pytest.mark.parametrize("asked", ["probe", " PROBE ", "id-1"])
def test_a_sensor_is_found_by_name_or_id(sensors, asked):
    sensors.add(PROBE)

    assert sensors.get(asked) == PROBE
    assert sensors.get("other") is None


def test_two_sensors_cannot_have_one_name(sensors):
    sensors.add(PROBE)

    with pytest.raises(RefusedError, match="a sensor 'PROBE' already"):
        sensors.add(Sensor("id-2", "PROBE"))


def test_an_interval_can_be_changed(sensors):
    sensors.add(PROBE)
    sensors.update(Sensor("id-1", "Probe", 300.0, "top shelf"))

    assert [one.interval_s for one in sensors.all()] == [300.0]


def test_moving_a_sensor_keeps_where_it_was(sensors):
    moves = [
        Assignment("id-1", START, "Fridge"),
        Assignment("id-1", START + timedelta(days=2), "Freezer"),
    ]

    assert [sensors.move(one) for one in moves] == [True, True]
    assert not sensors.move(Assignment("id-1", START, "Counter"))
    assert sensors.assignments() == moves


def test_offsets_come_back_in_order(sensors):
    later = Offset("id-1", START + timedelta(days=30), -0.4, "ice-point", 0.4)
    first = Offset("id-1", START, 0.1, "other")

    assert sensors.add_offset(later)
    assert sensors.add_offset(first)
    assert not sensors.add_offset(Offset("id-1", START, 9.0))
    assert sensors.offsets() == [first, later]


def test_a_lag_is_kept_by_place_in_any_case(sensors):
    sensors.set_lag("Fridge", 1800.0)
    sensors.set_lag("FRIDGE", 2700.0)

    assert sensors.lags() == {"fridge": 2700.0}
