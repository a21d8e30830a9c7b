"""Readings of a kitchen: typed and kept, whose they are, what a place then did."""

from datetime import timedelta

import numpy as np
import pytest

from lidclock.app import sensors, setup, temps
from lidclock.app.temp_course import place_course
from lidclock.app.temp_report import report, report_all, temperature_alerts
from lidclock.domain.kitchens import Place
from lidclock.errors import InputError, OddFactError, RefusedError, UnknownThingError
from lidclock.store.readings import ReadingStore
from lidclock.templog.series import micros

from .conftest import at

NOON = "2026-11-02T12:00"
HOUR = timedelta(hours=1)


@pytest.fixture
def kitchen(opened):
    """At noon on 2 November; it has two fridges and a hot hold beside the usual."""
    session = opened(NOON, who="ann")
    setup.add_place(session, Place("Fridge 2", "fridge"))
    setup.add_place(session, Place("Bar", "hot"))
    return session


def keep(session, sensor, temps_c, *, began, every_s=300):
    """Keep readings of a sensor, one every few minutes."""
    times = micros(at(began)) + np.arange(len(temps_c)) * every_s * 1_000_000
    with session.write() as unit:
        return temps.keep_readings(unit, sensor, times, temps_c)


def probe(session, place="Fridge 2", name="Probe A", **facts):
    facts = {"since": at("2026-10-01T00:00"), **facts}
    return sensors.add_sensor(session, name, place, **facts)


def kinds(session):
    return [(one.kind, one.place.name) for one in temperature_alerts(session)]


def test_a_typed_reading_belongs_to_its_place(kitchen):
    typed = temps.type_reading(kitchen, "fridge 2", 6.5)

    assert typed.sensor.name == "Fridge 2, typed"
    assert typed.sensor.is_typed
    assert (typed.is_new, typed.is_first, typed.is_beyond) == (True, True, True)
    assert typed.reading.at == at(NOON)
    assert typed.limit.limit_c == pytest.approx(4.444, abs=0.001)


def test_the_next_typed_reading_belongs_to_the_same_sensor(kitchen):
    first = temps.type_reading(kitchen, "Fridge 2", 3.5, at=at("2026-11-02T08:00"))
    second = temps.type_reading(kitchen, "Fridge 2", 4.0)

    assert second.sensor == first.sensor
    assert not second.is_first
    assert not second.is_beyond


def test_who_typed_it_and_when_stay_with_it(kitchen):
    typed = temps.type_reading(kitchen, "Fridge", 4.0, at=at("2026-11-02T08:00"))
    with kitchen.read() as unit:
        store = ReadingStore(unit.connection, kitchen.kitchen.id)
        (block,) = store.blocks(typed.sensor.id)

    assert block.mark.who == "ann"
    assert block.mark.device == "test"
    assert block.mark.recorded_us == micros(at(NOON))


def test_the_same_reading_twice_is_one(kitchen):
    temps.type_reading(kitchen, "Fridge", 4.0)

    assert not temps.type_reading(kitchen, "Fridge", 4.0).is_new


def test_another_value_for_the_same_moment_is_refused(kitchen):
    temps.type_reading(kitchen, "Fridge", 4.0)

    with pytest.raises(RefusedError, match="said 4 °C at that very time already"):
        temps.type_reading(kitchen, "Fridge", 5.0)


def test_a_reading_in_the_future_is_refused(kitchen):
    with pytest.raises(InputError, match="is in the future"):
        temps.type_reading(kitchen, "Fridge", 4.0, at=at("2026-11-02T12:30"))


def test_readings_older_than_the_newest_are_accepted(kitchen):
    temps.type_reading(kitchen, "Fridge", 4.0)
    old = temps.type_reading(kitchen, "Fridge", 3.0, at=at("2026-10-30T08:00"))

    assert old.is_new


@pytest.mark.parametrize(
    ("place", "temp_c", "hint"),
    [
        ("Fridge", 38.0, "38 °F would be 3.3 °C"),
        ("Fridge", 85.0, "just switched on"),
        ("Bar", 20.0, "unusual for a hot hold"),
    ],
)
def test_a_doubtful_reading_is_asked_about(kitchen, place, temp_c, hint):
    with pytest.raises(OddFactError, match=hint):
        temps.type_reading(kitchen, place, temp_c)

    assert temps.type_reading(kitchen, place, temp_c, anyway=True).is_new


@pytest.mark.parametrize("temp_c", [-127.0, 300.0, float("nan"), float("inf")])
def test_what_is_no_temperature_is_never_recorded(kitchen, temp_c):
    with pytest.raises(InputError, match=r"not connected|lies outside"):
        temps.type_reading(kitchen, "Fridge", temp_c, anyway=True)


def test_a_refused_reading_leaves_no_sensor_behind(kitchen):
    temps.type_reading(kitchen, "Fridge", 4.0)
    with pytest.raises(OddFactError):
        temps.type_reading(kitchen, "Bar", 20.0)
    with kitchen.read() as unit:
        names = [one.name for one in sensors.sensors_of(unit).all()]

    assert names == ["Fridge, typed"]


def test_a_reading_of_a_sensor_counts_where_the_sensor_was(kitchen):
    probe(kitchen)
    typed = temps.type_reading(kitchen, "Fridge 2", 4.0, sensor="probe a")

    assert typed.sensor.name == "Probe A"
    with pytest.raises(RefusedError, match="was in Fridge 2 then, not in Fridge"):
        temps.type_reading(kitchen, "Fridge", 4.0, sensor="Probe A")


def test_an_unknown_sensor_is_told_with_the_nearest(kitchen):
    probe(kitchen)

    with pytest.raises(UnknownThingError, match=r"no sensor 'Prob'.*; there are Probe"):
        temps.type_reading(kitchen, "Fridge 2", 4.0, sensor="Prob")


def test_a_mistyped_reading_is_put_right(kitchen):
    temps.type_reading(kitchen, "Fridge", 16.5, at=at("2026-11-02T08:00"))
    found, was = temps.correct_reading(
        kitchen, "Fridge", at("2026-11-02T08:00"), 6.5, reason="slip"
    )
    again = temps.correct_reading(kitchen, "Fridge", at("2026-11-02T08:00"), 4.0)

    assert was.temp_c == 16.5
    assert again[1].temp_c == 6.5
    with kitchen.read() as unit:
        store = ReadingStore(unit.connection, kitchen.kitchen.id)
        assert store.get(found.id).temps_c.tolist() == [4.0]
        assert [one.reason for one in store.corrections(found.id)] == ["slip", ""]


def test_a_struck_reading_counts_no_more(kitchen):
    temps.type_reading(kitchen, "Fridge", 16.5)
    temps.correct_reading(kitchen, "Fridge", at(NOON), None)

    assert not report(kitchen, "Fridge").has_readings


def test_correcting_what_was_never_read_is_refused(kitchen):
    with pytest.raises(UnknownThingError, match="nobody typed a reading of Fridge"):
        temps.correct_reading(kitchen, "Fridge", at(NOON), 4.0)
    temps.type_reading(kitchen, "Fridge", 4.0)
    with pytest.raises(
        UnknownThingError, match="has no reading at Mon 2 Nov 2026 08:00"
    ):
        temps.correct_reading(kitchen, "Fridge", at("2026-11-02T08:00"), 4.0)


def test_two_readings_of_one_minute_are_not_guessed_between(kitchen):
    eight = at("2026-11-02T08:00")
    temps.type_reading(kitchen, "Fridge", 4.0, at=eight + timedelta(seconds=10))
    temps.type_reading(kitchen, "Fridge", 5.0, at=eight + timedelta(seconds=40))

    with pytest.raises(RefusedError, match="has 2 readings at"):
        temps.correct_reading(kitchen, "Fridge", eight, 4.5)
    _, was = temps.correct_reading(
        kitchen, "Fridge", eight + timedelta(seconds=40), 4.5
    )

    assert was.temp_c == 5.0


def test_a_device_whose_clock_is_ahead_is_left_out(kitchen):
    sensor = probe(kitchen)
    kept = keep(kitchen, sensor, [4.0] * 4, began="2026-11-02T11:58", every_s=120)

    assert (kept.added.new, kept.future) == (3, 1)


def test_a_moved_sensor_tells_of_each_place_its_own_time(kitchen):
    sensor = probe(kitchen, "Fridge")
    keep(kitchen, sensor, [3.0] * 24 + [9.0] * 24, began="2026-11-02T08:00")
    sensors.move_sensor(kitchen, "Probe A", "Counter", at("2026-11-02T10:00"))
    fridge, counter = report(kitchen, "Fridge"), report(kitchen, "Counter")

    assert (fridge.stats.min_c, fridge.stats.max_c) == (3.0, 9.0)
    assert counter.stats.min_c == 9.0
    assert fridge.found.members[0].spell.ended == at("2026-11-02T10:00")
    assert [one.sensor.name for one in counter.found.current] == ["Probe A"]


def test_an_offset_puts_right_what_comes_after_it(kitchen):
    sensor = probe(kitchen)
    sensors.check_sensor(
        kitchen, "Probe A", 0.4, method="ice-point", at=at("2026-11-02T10:00")
    )
    keep(kitchen, sensor, [4.0] * 48, began="2026-11-02T08:00")
    found = report(kitchen, "Fridge 2")

    assert (found.stats.min_c, found.stats.max_c) == (3.6, 4.0)
    assert found.found.latest.temp_c == 3.6


def test_the_warmer_of_two_probes_counts_and_their_disagreement_is_told(kitchen):
    one, other = probe(kitchen), probe(kitchen, name="Probe B")
    keep(kitchen, one, [3.0] * 13, began="2026-11-02T11:00")
    keep(kitchen, other, [8.0] * 13, began="2026-11-02T11:00")
    found = report(kitchen, "Fridge 2")

    assert found.stats.min_c == 8.0
    assert [apart.found.most_c for apart in found.disagreements] == [5.0]
    assert kinds(kitchen) == [("excursion", "Fridge 2"), ("disagree", "Fridge 2")]


def test_in_a_hot_hold_the_cooler_of_two_probes_counts(kitchen):
    for name, warm in (("Probe A", 66.0), ("Probe B", 58.0)):
        keep(
            kitchen, probe(kitchen, "Bar", name), [warm] * 13, began="2026-11-02T11:00"
        )
    found = report(kitchen, "Bar")

    assert found.found.latest.temp_c == 58.0
    assert (found.stats.max_c, found.stats.share_beyond) == (58.0, 1.0)


def test_a_hand_speaks_where_the_probe_is_silent(kitchen):
    """The probe fell silent at 9:00; 6 °C was written down at 11:00, which is above."""
    keep(kitchen, probe(kitchen), [3.0] * 13, began="2026-11-02T08:00")
    temps.type_reading(kitchen, "Fridge 2", 6.0, at=at("2026-11-02T11:00"))

    assert report(kitchen, "Fridge 2").found.latest.temp_c == 6.0
    assert kinds(kitchen) == [("excursion", "Fridge 2"), ("silent", "Fridge 2")]


def test_what_was_warm_before_silence_is_not_said_of_now(kitchen):
    keep(kitchen, probe(kitchen), [9.0] * 13, began="2026-11-02T08:00")

    assert kinds(kitchen) == [("silent", "Fridge 2")]
    assert report(kitchen, "Fridge 2").current is None


def test_what_a_hand_wrote_fills_in_only_where_no_probe_measured(kitchen):
    """Typed 9 at 8:00 holds for hours; the probe said 3 from 10:00 on."""
    sensor = probe(kitchen)
    temps.type_reading(kitchen, "Fridge 2", 9.0, at=at("2026-11-02T08:00"))
    keep(kitchen, sensor, [3.0] * 25, began="2026-11-02T10:00")
    found = report(kitchen, "Fridge 2")

    (beyond,) = found.excursions
    assert beyond.began == at("2026-11-02T08:00")
    assert abs(beyond.ended - at("2026-11-02T10:00")) < timedelta(milliseconds=1)
    assert found.current is None
    assert found.found.latest.temp_c == 3.0
    assert kinds(kitchen) == []


def test_a_hand_that_contradicts_the_probe_is_told(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 13, began="2026-11-02T11:00")
    temps.type_reading(kitchen, "Fridge 2", 9.0, at=at("2026-11-02T11:30"))

    assert kinds(kitchen) == [("disagree", "Fridge 2")]


def test_without_sensors_nothing_is_alarming_and_nothing_is_known(kitchen):
    assert temperature_alerts(kitchen) == []
    assert [one.found.members for one in report_all(kitchen)] == [()] * 5
    assert {one.stats for one in report_all(kitchen)} == {None}


def test_a_single_reading_beyond_the_limit_is_an_alert_at_once(kitchen):
    temps.type_reading(kitchen, "Fridge", 9.0)
    temps.type_reading(kitchen, "Bar", 55.0)
    temps.type_reading(kitchen, "Fridge 2", 4.0)

    assert kinds(kitchen) == [("excursion", "Bar"), ("excursion", "Fridge")]


def test_an_excursion_that_goes_on_is_an_alert_from_its_beginning(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 4 + [9.0] * 21, began="2026-11-02T10:00")
    (alert,) = temperature_alerts(kitchen)

    assert alert.kind == "excursion"
    assert at("2026-11-02T10:15") < alert.since < at("2026-11-02T10:20")
    assert alert.excursion.peak_c == 9.0
    assert alert.reading.temp_c == 9.0


def test_an_open_door_is_a_spike_that_needs_nobody(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 24 + [7.0], began="2026-11-02T10:00")
    (alert,) = temperature_alerts(kitchen)

    assert alert.kind == "spike"
    assert not alert.is_pressing


def test_the_same_without_a_lag_is_an_excursion(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 24 + [7.0], began="2026-11-02T10:00")
    sensors.set_lag(kitchen, "Fridge 2", timedelta(0))

    assert kinds(kitchen) == [("excursion", "Fridge 2")]


def test_an_excursion_that_is_over_is_no_alert(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [9.0] * 20 + [3.0] * 5, began="2026-11-02T10:00")

    assert kinds(kitchen) == []
    assert len(report(kitchen, "Fridge 2").excursions) == 1


def test_a_silent_sensor_is_an_alert_whatever_it_said_last(kitchen, opened):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 25, began="2026-11-02T10:00")
    before, after = opened("2026-11-02T12:15"), opened("2026-11-02T15:10")

    assert kinds(before) == []
    (alert,) = temperature_alerts(after)
    assert alert.kind == "silent"
    assert alert.sensors == ("Probe A",)
    assert alert.silence.lasted == timedelta(hours=3, minutes=10)
    assert alert.reading.temp_c == 3.0


def test_a_sensor_that_never_spoke_is_silent(kitchen):
    probe(kitchen)

    assert kinds(kitchen) == [("silent", "Fridge 2")]


def test_a_sensor_silent_for_longer_than_anybody_looks_back_is_silent(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 5, began="2026-10-02T10:00")
    (alert,) = temperature_alerts(kitchen)

    assert alert.kind == "silent"
    assert alert.since == at("2026-10-02T10:20")


def test_a_sensor_taken_away_is_not_missed(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 5, began="2026-11-01T10:00")
    sensors.move_sensor(kitchen, "Probe A", None, at("2026-11-01T10:21"))

    assert kinds(kitchen) == []


@pytest.mark.parametrize(
    ("place", "hours", "found"),
    [
        ("Fridge", 17, []),
        ("Fridge", 19, [("silent", "Fridge")]),
        ("Bar", 5, []),
        ("Bar", 7, [("silent", "Bar")]),
        ("Counter", 100, []),
    ],
)
def test_what_people_type_is_expected_twice_a_day_and_hot_food_every_4_hours(
    kitchen, place, hours, found
):
    """New Brunswick, Reg 2009-138, s.32; one and a half times that is silence."""
    warm = 65.0 if place == "Bar" else 4.0
    temps.type_reading(kitchen, place, warm, at=at(NOON) - hours * HOUR)

    assert kinds(kitchen) == found


def test_a_gap_is_told_and_what_it_hides_is_not(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [3.0] * 5, began="2026-11-02T08:00")
    keep(kitchen, sensor, [3.0] * 5, began="2026-11-02T11:40")
    found = report(kitchen, "Fridge 2")

    assert [(x.began, x.ended) for x in found.gaps] == [
        (at("2026-11-02T08:25"), at("2026-11-02T11:40"))
    ]
    assert found.stats.measured == timedelta(minutes=45)


def test_a_course_reaches_back_so_that_food_is_as_warm_as_it_was(kitchen):
    """Warm all morning: an hour's window still knows that the food is warm."""
    sensor = probe(kitchen)
    keep(kitchen, sensor, [9.0] * 49, began="2026-11-02T08:00")
    (found,) = report(kitchen, "Fridge 2", HOUR).excursions

    assert found.began == at("2026-11-02T08:00")
    assert not found.is_spike


def test_the_course_of_a_place_ends_with_the_present(kitchen):
    sensor = probe(kitchen)
    keep(kitchen, sensor, [4.0] * 13, began="2026-11-02T11:00")
    with kitchen.read() as unit:
        found = place_course(
            unit,
            kitchen.place("Fridge 2"),
            at("2026-11-02T11:00"),
            at("2026-11-03T00:00"),
        )

    assert found.course.times[-1] == at(NOON).timestamp()
