"""Readings in the database: added once, compacted, put right, never altered."""

from __future__ import annotations

import numpy as np
import pytest

from lidclock.store import Database
from lidclock.store.backup import backup
from lidclock.store.reading_values import Clash, Correction, Extent, Mark
from lidclock.store.readings import DAY_US, MOST_BLOCKS, ReadingStore

DAY = 1_793_577_600_000_000 // DAY_US * DAY_US
MINUTE = 60_000_000
ANN = Mark(DAY, "ann", "phone")
PROBE = "11111111-1111-7111-8111-111111111111"


@pytest.fixture
def readings(database):
    with database.begin() as connection:
        yield ReadingStore(connection, "home")


def at(*minutes):
    return [DAY + minute * MINUTE for minute in minutes]


def all_of(readings, **window):
    found = readings.get(PROBE, **window)
    minutes = (found.times_us - DAY) / MINUTE
    return dict(zip(minutes.tolist(), found.temps_c.tolist(), strict=True))


def block_count(readings):
    return len([*readings.blocks(PROBE)])


def test_readings_come_back_in_order(readings):
    added = readings.add(PROBE, at(5, 0, 10), [4.2, 6.5, 6.4375], ANN)

    assert (added.new, added.known, added.clashes) == (3, 0, ())
    assert all_of(readings) == {0: 6.5, 5: 4.2, 10: 6.4375}


def test_the_same_readings_again_change_nothing(readings):
    readings.add(PROBE, at(0, 5), [4.0, 4.5], ANN)
    again = readings.add(PROBE, at(5, 0, 10), [4.5, 4.0, 5.0], ANN)

    assert (again.new, again.known, again.clashes) == (1, 2, ())
    assert all_of(readings) == {0: 4.0, 5: 4.5, 10: 5.0}


def test_another_value_for_an_instant_is_told_and_not_kept(readings):
    readings.add(PROBE, at(0, 5), [4.0, 4.5], ANN)
    again = readings.add(PROBE, at(5, 10), [9.5, 5.0], ANN)

    assert again.clashes == (Clash(at(5)[0], 4.5, 9.5),)
    assert (again.new, again.known) == (1, 0)
    assert all_of(readings) == {0: 4.0, 5: 4.5, 10: 5.0}


def test_of_two_values_given_at_once_the_first_is_kept(readings):
    added = readings.add(PROBE, at(5, 5, 5), [4.5, 9.5, 4.5], ANN)

    assert (added.new, added.known) == (1, 1)
    assert added.clashes == (Clash(at(5)[0], 4.5, 9.5),)
    assert all_of(readings) == {5: 4.5}


def test_of_very_many_values_for_an_instant_the_first_is_kept(readings):
    temps = [float(number % 90) for number in range(500, 0, -1)]
    added = readings.add(PROBE, at(5) * 250 + at(0) * 250, temps, ANN)

    assert added.new == 2
    assert all_of(readings) == {0: temps[250], 5: temps[0]}


def test_readings_that_lie_between_others_are_put_between(readings):
    readings.add(PROBE, at(0, 10, 20), [1, 3, 5], ANN)
    readings.add(PROBE, at(5, 15), [2, 4], ANN)

    assert all_of(readings) == {0: 1, 5: 2, 10: 3, 15: 4, 20: 5}


def test_a_window_holds_its_ends(readings):
    readings.add(PROBE, at(0, 10, 20, 30), [1, 2, 3, 4], ANN)

    assert all_of(readings, first_us=at(10)[0], last_us=at(20)[0]) == {10: 2, 20: 3}


def test_a_window_finds_the_block_that_began_the_day_before(readings):
    """A day of UTC is the longest block: half past eleven to midnight and on."""
    late = at(1410, 1439, 1450)
    readings.add(PROBE, late, [1, 2, 3], ANN)

    assert block_count(readings) == 2
    assert all_of(readings, first_us=late[1], last_us=late[2]) == {1439: 2, 1450: 3}


def test_before_1970_is_a_time_too(readings):
    readings.add(PROBE, [-DAY_US - 1, -1], [1, 2], ANN)

    assert readings.get(PROBE).times_us.tolist() == [-DAY_US - 1, -1]


def test_a_month_of_typed_values_comes_back_as_it_was_typed(readings):
    typed = [f"{(n * 37 % 120) / 10 - 2:.1f}" for n in range(31 * 4)]
    for number, text in enumerate(typed):
        readings.add(PROBE, at(number * 360), [float(text)], ANN, compact=False)

    assert [f"{value:.1f}" for value in all_of(readings).values()] == typed
    assert [*all_of(readings).values()] == [*map(float, typed)]


def test_many_small_blocks_of_a_day_become_one_and_nothing_changes(readings):
    temps = [round(4 + n * 0.0625, 4) for n in range(MOST_BLOCKS + 1)]
    for minute, temp in enumerate(temps[:-1]):
        readings.add(PROBE, at(minute), [temp], ANN)
    before = block_count(readings)
    later = Mark(DAY + DAY_US, "bo", "hub")
    readings.add(PROBE, at(MOST_BLOCKS), [temps[-1]], later)
    (whole,) = readings.blocks(PROBE)

    assert before == MOST_BLOCKS
    assert whole.mark == later
    assert [*all_of(readings).values()] == temps


def test_other_days_and_sensors_are_left_alone_by_compaction(readings):
    readings.add("other", at(0), [9], ANN)
    readings.add(PROBE, at(1440), [8], ANN)
    for minute in range(MOST_BLOCKS + 1):
        readings.add(PROBE, at(minute), [4], ANN)

    assert block_count(readings) == 2
    assert readings.get("other").temps_c.tolist() == [9]


def test_what_people_typed_keeps_who_typed_it_and_when(readings):
    for minute in range(MOST_BLOCKS + 5):
        mark = Mark(DAY + minute, f"hand {minute}", "phone")
        readings.add(PROBE, at(minute), [4], mark, compact=False)
    marks = [one.mark for one in readings.blocks(PROBE)]

    assert [mark.who for mark in marks] == [f"hand {n}" for n in range(MOST_BLOCKS + 5)]
    assert [mark.recorded_us for mark in marks] == [DAY + n for n in range(21)]


def test_how_far_readings_reach(readings):
    assert readings.extent(PROBE) is None

    readings.add(PROBE, at(0, 1500), [4, 5], ANN)

    assert readings.extent(PROBE) == Extent(at(0)[0], at(1500)[0], 2)


def test_a_mistyped_reading_is_put_right_and_the_raw_one_stays(readings):
    readings.add(PROBE, at(0, 5), [4.0, 16.5], ANN)
    fix = Correction(at(5)[0], 6.5, DAY + 9, "ann", "typing slip")

    assert readings.correct(PROBE, fix)
    assert not readings.correct(PROBE, fix)
    assert all_of(readings) == {0: 4.0, 5: 6.5}
    assert [one.readings.temps_c.tolist() for one in readings.blocks(PROBE)] == [
        [4.0, 16.5]
    ]
    assert readings.corrections(PROBE) == [fix]


def test_a_reading_can_be_struck_and_the_last_word_holds(readings):
    readings.add(PROBE, at(0, 5), [4.0, 16.5], ANN)
    readings.correct(PROBE, Correction(at(5)[0], None, DAY + 1))
    struck = all_of(readings)
    readings.correct(PROBE, Correction(at(5)[0], 6.5, DAY + 2))

    assert struck == {0: 4.0}
    assert all_of(readings) == {0: 4.0, 5: 6.5}


def test_a_correction_of_nothing_changes_nothing(readings):
    readings.add(PROBE, at(0, 5), [4.0, 4.5], ANN)
    readings.correct(PROBE, Correction(at(3)[0], 9.0, DAY))
    readings.correct(PROBE, Correction(at(9)[0], 9.0, DAY))

    assert all_of(readings) == {0: 4.0, 5: 4.5}


@pytest.mark.parametrize("wrong", [np.nan, np.inf])
def test_a_temperature_must_be_a_number(readings, wrong):
    with pytest.raises(ValueError, match="must be a number"):
        readings.add(PROBE, at(0), [wrong], ANN)


def test_nothing_is_added_for_nothing(readings):
    assert readings.add(PROBE, [], [], ANN).new == 0
    assert block_count(readings) == 0


def test_a_kitchen_sees_its_own_readings_only(database):
    with database.begin() as connection:
        ReadingStore(connection, "home").add(PROBE, at(0), [4.0], ANN)

        assert ReadingStore(connection, "other").get(PROBE).times_us.size == 0


def test_a_backup_carries_the_readings(database, path, tmp_path):
    with database.begin() as connection:
        ReadingStore(connection, "home").add(PROBE, at(0, 5), [4.0, 6.4375], ANN)
    copy = tmp_path / "copy.db"
    backup(path, copy)
    with Database.open(copy) as opened, opened.read() as connection:
        found = ReadingStore(connection, "home").get(PROBE)

    assert found.temps_c.tolist() == [4.0, 6.4375]
    assert found.times_us.tolist() == at(0, 5)
