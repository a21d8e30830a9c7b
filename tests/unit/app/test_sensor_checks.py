"""Checks of thermometers: last made, next due, and what does not agree."""

from datetime import timedelta

import pytest

from lidclock.app import sensors, temps
from lidclock.app.sensor_checks import due_checks, set_check_every
from lidclock.app.sensor_list import sensor_standings
from lidclock.errors import InputError, RefusedError

from .conftest import at

NOON = "2026-11-02T12:00"
TEN = at("2026-11-02T10:00")


@pytest.fixture
def kitchen(opened):
    session = opened(NOON)
    sensors.add_sensor(session, "Probe A", "Fridge", since=at("2026-10-01T08:00"))
    return session


def ice(session, said_c, when=None, name="Probe A"):
    return sensors.check_sensor(session, name, said_c, method="ice-point", at=when)


def boiling(session, said_c, when=None):
    return sensors.check_sensor(
        session, "Probe A", said_c, method="boiling-point", at=when
    )


def check(session):
    return next(x.check for x in sensor_standings(session))


def test_one_that_was_never_checked_is_due_since_it_is_there(kitchen):
    (found,) = due_checks(kitchen)

    assert (found.last, found.next_at) == (None, at("2026-10-01T08:00"))
    assert found == check(kitchen)


def test_a_check_is_due_again_at_the_very_end_of_its_thirty_days(kitchen, opened):
    ice(kitchen, 0.2)

    assert due_checks(kitchen) == []
    assert due_checks(opened("2026-12-02T11:59")) == []
    assert [x.sensor.name for x in due_checks(opened("2026-12-02T12:00"))] == [
        "Probe A"
    ]


def test_a_sensor_has_an_interval_of_its_own(kitchen, opened):
    set_check_every(kitchen, "probe a", timedelta(days=14))

    assert ice(kitchen, 0.2).next_check == at(NOON) + timedelta(days=14)
    assert check(kitchen).next_at == at(NOON) + timedelta(days=14)
    assert len(due_checks(opened("2026-11-16T12:00"))) == 1
    set_check_every(kitchen, "Probe A", None)
    assert due_checks(opened("2026-11-16T12:00")) == []


@pytest.mark.parametrize("days", [0, 367])
def test_an_interval_that_cannot_be_meant_is_refused(kitchen, days):
    with pytest.raises(InputError, match="a check is due every 1 to 366 days"):
        set_check_every(kitchen, "Probe A", timedelta(days=days))


def test_what_people_type_owes_no_check(kitchen):
    temps.type_reading(kitchen, "Fridge", 4.0)
    ice(kitchen, 0.2)

    assert due_checks(kitchen) == []
    with pytest.raises(RefusedError, match="holds what people type"):
        set_check_every(kitchen, "Fridge, typed", timedelta(days=14))


def test_one_that_measures_no_place_owes_no_check(kitchen):
    sensors.move_sensor(kitchen, "Probe A", None)

    assert due_checks(kitchen) == []


def test_one_beyond_its_tolerance_is_named_until_it_is_replaced(kitchen):
    ice(kitchen, 1.6)
    (found,) = due_checks(kitchen)

    assert (found.is_off, found.is_due(kitchen.now)) == (True, False)


def test_two_points_of_one_day_that_agree_are_no_matter(kitchen):
    """0.5 too warm in ice, 1.0 too cool in boiling water: 1.5 apart at most."""
    assert ice(kitchen, 0.5, TEN).apart_c is None
    assert boiling(kitchen, 99.0).apart_c is None
    assert due_checks(kitchen) == []


def test_two_points_of_one_day_that_do_not_agree_are_told(kitchen):
    """0.5 too warm in ice, 1.2 too cool in boiling water: 1.7 apart."""
    ice(kitchen, 0.5, TEN)

    assert boiling(kitchen, 98.8).apart_c == pytest.approx(1.7, abs=0.005)
    (found,) = due_checks(kitchen)
    assert found.apart_c == pytest.approx(1.7, abs=0.005)
    assert not found.is_off


def test_points_of_two_days_are_not_compared(kitchen):
    """A little before and after midnight in the kitchen's zone."""
    ice(kitchen, 0.5, at("2026-11-01T23:59"))
    boiling(kitchen, 98.8, at("2026-11-02T00:01"))

    assert check(kitchen).apart_c is None


def test_ice_alone_does_not_take_back_that_two_points_disagreed(kitchen, opened):
    ice(kitchen, 0.5, TEN)
    boiling(kitchen, 98.8)
    later = opened("2026-11-10T12:00")
    ice(later, 0.2, at("2026-11-10T10:00"))
    was = check(later).apart_c
    boiling(later, 100.0)

    assert was is not None
    assert check(later).apart_c is None
