"""Sensors of a kitchen: added, moved, checked; nothing recorded is rewritten."""

from datetime import timedelta

import pytest

from lidclock.app import sensors, temps
from lidclock.app.sensor_list import sensor_standings
from lidclock.errors import InputError, OddFactError, RefusedError, UnknownThingError

from .conftest import at

NOON = "2026-11-02T12:00"
FIVE = timedelta(minutes=5)


@pytest.fixture
def kitchen(opened):
    return opened(NOON)


def standing(session, name="Probe A"):
    return next(x for x in sensor_standings(session) if x.sensor.name == name)


def test_a_sensor_is_in_its_place_from_now_on(kitchen):
    made = sensors.add_sensor(kitchen, "Probe A", "fridge", interval=FIVE)
    found = standing(kitchen)

    assert made.interval_s == 300
    assert (found.place, found.count, found.latest) == ("Fridge", 0, None)
    assert found.now.spell.began == at(NOON)
    assert not found.pace.is_guessed


def test_a_place_that_is_not_there_is_refused(kitchen):
    with pytest.raises(UnknownThingError, match="no place 'Cellar'"):
        sensors.add_sensor(kitchen, "Probe A", "Cellar")


def test_two_sensors_need_two_names(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")

    with pytest.raises(RefusedError, match="a sensor 'probe a' already"):
        sensors.add_sensor(kitchen, "probe a", "Freezer")


@pytest.mark.parametrize("interval", [timedelta(0), timedelta(days=8)])
def test_an_interval_that_cannot_be_right_is_refused(kitchen, interval):
    with pytest.raises(InputError, match="must lie within 1 s and 7 days"):
        sensors.add_sensor(kitchen, "Probe A", "Fridge", interval=interval)


def test_an_interval_can_be_set_and_taken_back(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")

    assert sensors.set_interval(kitchen, "probe a", FIVE).interval_s == 300
    assert sensors.set_interval(kitchen, "probe a", None).interval_s is None
    assert standing(kitchen).pace.is_guessed


def test_moving_keeps_where_it_was(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge", since=at("2026-11-01T08:00"))
    sensors.move_sensor(kitchen, "Probe A", "Freezer", at("2026-11-02T08:00"))
    with kitchen.read() as unit:
        places = [x.place for x in sensors.sensors_of(unit).assignments()]

    assert places == ["Fridge", "Freezer"]
    assert standing(kitchen).place == "Freezer"


def test_moving_to_where_it_is_does_nothing(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")

    with pytest.raises(RefusedError, match="in Fridge already: nothing done"):
        sensors.move_sensor(kitchen, "Probe A", "Fridge")


def test_what_was_recorded_for_a_moment_is_not_rewritten(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")
    sensors.check_sensor(kitchen, "Probe A", 0.4, method="ice-point")

    with pytest.raises(RefusedError, match="moved at that very time already"):
        sensors.move_sensor(kitchen, "Probe A", "Freezer", at(NOON))
    with pytest.raises(RefusedError, match="checked at that very time already"):
        sensors.check_sensor(kitchen, "Probe A", 0.6, method="ice-point")


def test_a_move_in_the_future_is_refused(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")

    with pytest.raises(InputError, match="in the future"):
        sensors.move_sensor(kitchen, "Probe A", "Freezer", at("2026-11-03T08:00"))


def test_a_sensor_in_no_place_owes_nothing(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge", since=at("2026-11-01T08:00"))
    sensors.move_sensor(kitchen, "Probe A", None)
    found = standing(kitchen)

    assert (found.place, found.now) == ("", None)


def test_what_it_said_in_ice_is_put_right(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")
    found = sensors.check_sensor(kitchen, "Probe A", 0.4, method="ice-point")

    assert found.offset.offset_c == -0.4
    assert found.offset.measured_c == 0.4
    assert found.verdict.is_within
    assert found.next_check == at(NOON) + timedelta(days=30)


def test_boiling_water_is_cooler_up_high(kitchen):
    """94.9 °C at 5000 ft (1524 m): the table of the guidance targets."""
    sensors.add_sensor(kitchen, "Probe A", "Fridge")
    found = sensors.check_sensor(
        kitchen, "Probe A", 94.0, method="boiling-point", altitude_m=1524.0
    )

    assert found.true_c == pytest.approx(94.9, abs=0.05)
    assert found.offset.offset_c == pytest.approx(0.9, abs=0.05)


def test_beyond_its_tolerance_is_told(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")
    at_it = sensors.check_sensor(
        kitchen, "Probe A", 1.5, method="ice-point", at=at("2026-11-02T08:00")
    )
    over = sensors.check_sensor(kitchen, "Probe A", 1.6, method="ice-point")

    assert (at_it.verdict.is_within, over.verdict.is_within) == (True, False)


def test_far_off_is_asked_about(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")

    with pytest.raises(OddFactError, match="was it in crushed ice with water"):
        sensors.check_sensor(kitchen, "Probe A", 6.0, method="ice-point")
    sensors.check_sensor(kitchen, "Probe A", 6.0, method="ice-point", anyway=True)

    assert standing(kitchen).offset.offset_c == -6.0


def test_an_altitude_nobody_lives_at_is_refused(kitchen):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")

    with pytest.raises(InputError, match="altitude must lie within"):
        sensors.check_sensor(
            kitchen, "Probe A", 70.0, method="boiling-point", altitude_m=12_000.0
        )


def test_what_people_type_has_no_thermometer_to_check(kitchen):
    temps.type_reading(kitchen, "Fridge", 4.0)

    with pytest.raises(RefusedError, match="holds what people type"):
        sensors.check_sensor(kitchen, "Fridge, typed", 0.4, method="ice-point")
    assert standing(kitchen, "Fridge, typed").check.next_at is None


def test_a_check_is_due_when_never_made_and_after_a_month(kitchen, opened):
    sensors.add_sensor(kitchen, "Probe A", "Fridge")
    never = standing(kitchen).check.is_due(at(NOON))
    sensors.check_sensor(kitchen, "Probe A", 0.4, method="ice-point")
    later = opened("2026-12-02T12:00")

    assert never
    assert not standing(kitchen).check.is_due(at(NOON))
    assert standing(later).check.is_due(at("2026-12-02T12:00"))


def test_a_lag_that_cannot_be_right_is_refused(kitchen):
    with pytest.raises(InputError, match="a lag must lie within 0 and 24 h"):
        sensors.set_lag(kitchen, "Fridge", timedelta(hours=25))
