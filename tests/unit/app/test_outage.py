"""What is known of places without power, from probes and what people type."""

from dataclasses import replace

import numpy as np
import pytest

from lidclock.app import sensors, temps
from lidclock.app.outage import outage
from lidclock.templog.series import micros

from .conftest import at

BEGAN, ENDED = at("2026-11-02T06:00"), at("2026-11-02T12:00")
_FIVE_MINUTES_US = 300_000_000


@pytest.fixture
def kitchen(opened):
    """At one o'clock on 2 November, the power back for an hour."""
    return opened("2026-11-02T13:00")


def probe(session, place, began, temps_c):
    """A probe with one reading every five minutes."""
    sensor = sensors.add_sensor(session, "Probe A", place, since=at("2026-10-01T00:00"))
    keep(session, sensor, began, temps_c)
    return sensor


def keep(session, sensor, began, temps_c):
    times = micros(at(began)) + np.arange(len(temps_c)) * _FIVE_MINUTES_US
    with session.write() as unit:
        temps.keep_readings(unit, sensor, times, temps_c)


def known(session, place, **said):
    found = outage(session, BEGAN, ENDED, **said)
    return next(one for one in found.places if one.place.name == place)


def test_a_probe_tells_to_the_minute_when_it_was_too_warm(kitchen):
    """From 05:00 every 5 min: 3 °C until 09:00, then 6 °C until 12:00."""
    probe(kitchen, "Fridge", "2026-11-02T05:00", [3.0] * 49 + [6.0] * 36)
    fridge = known(kitchen, "Fridge")

    assert fridge.is_measured
    assert fridge.readings.count == 72
    assert (fridge.seen.above_h, fridge.seen.unknown_h) == pytest.approx((3, 0))
    assert fridge.model is None


def test_a_probe_that_died_with_the_power_tells_nothing(kitchen):
    """Its last word was cold, five minutes before: there the estimate starts."""
    probe(kitchen, "Fridge", "2026-11-02T04:00", [2.5] * 24)
    fridge = known(kitchen, "Fridge")

    assert not fridge.is_measured
    assert (fridge.seen.above_h, fridge.seen.unknown_h) == (0, 6)
    assert (fridge.model.from_c, fridge.model.is_read) == (2.5, True)


def test_a_probe_that_wakes_up_warm_tells_that_it_was(kitchen):
    sensor = probe(kitchen, "Fridge", "2026-11-02T04:00", [2.5] * 24)
    keep(kitchen, sensor, "2026-11-02T12:05", [9.0])
    fridge = known(kitchen, "Fridge")

    assert (fridge.seen.above_h, fridge.seen.unknown_h) == (6, 0)


def test_a_hand_s_reading_counts_where_the_probe_fell_silent(kitchen):
    probe(kitchen, "Fridge", "2026-11-02T05:00", [3.0] * 24)
    temps.type_reading(kitchen, "Fridge", 4.0, at=at("2026-11-02T11:00"))
    fridge = known(kitchen, "Fridge")

    assert (fridge.seen.above_h, fridge.seen.unknown_h) == pytest.approx((0, 1))


def test_what_is_said_of_the_end_is_one_more_reading(kitchen):
    probe(kitchen, "Fridge", "2026-11-02T05:00", [3.0] * 24)
    fridge = known(kitchen, "Fridge", fridge_c={"fridge": 4.0})

    assert (fridge.seen.above_h, fridge.seen.unknown_h) == (0, 0)
    assert fridge.readings.peak_c == 4.0


def test_a_place_has_its_own_limit_where_the_set_gives_another(kitchen):
    probe(kitchen, "Freezer", "2026-11-02T06:00", [-10.0] * 36 + [1.0] * 37)
    freezer = known(kitchen, "Freezer")

    assert freezer.seen.worst_h == 0
    assert freezer.limit.limit_c == 0
    assert freezer.own_seen.above_h == pytest.approx(3 + 1 / 12)


def test_nothing_is_loaded_of_places_that_nobody_measures(kitchen):
    fridge = known(kitchen, "Fridge")

    assert fridge.readings is None
    assert fridge.hold_ends == at("2026-11-02T10:00")
    assert (fridge.model.from_c, fridge.model.is_read) == (3.0, False)


@pytest.mark.parametrize(
    ("hours", "is_warned"), [((20, 30), True), ((24, 40), False), ((25, 41), False)]
)
def test_the_estimate_warns_where_its_earlier_end_comes_to_less(
    kitchen, hours, is_warned
):
    """A half-full freezer holds for 24 h."""
    freezer = known(kitchen, "Freezer")
    model = replace(freezer.model, early_h=hours[0], late_h=hours[1])

    assert replace(freezer, model=model).is_warned is is_warned


def test_of_one_more_probe_the_worse_counts(kitchen):
    probe(kitchen, "Fridge", "2026-11-02T05:00", [3.0] * 90)
    other = sensors.add_sensor(
        kitchen, "Probe B", "Fridge", since=at("2026-10-01T00:00")
    )
    keep(kitchen, other, "2026-11-02T05:00", [3.0] * 73 + [5.0] * 12)

    assert known(kitchen, "Fridge").seen.above_h == pytest.approx(1)
