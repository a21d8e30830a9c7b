"""Sensors, where they were, how far off they are, and what looks like a slip."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.readings import (
    NOWHERE,
    Assignment,
    Offset,
    Reading,
    Sensor,
    Spell,
    doubt_about,
    offset_of,
    place_at,
    say_temp,
    spells,
)

START = datetime(2026, 11, 2, 8, tzinfo=UTC)


def on(day):
    return START + timedelta(days=day)


MOVED = [
    Assignment("a", on(5), "Fridge 2"),
    Assignment("a", on(0), "Fridge"),
    Assignment("a", on(9), NOWHERE),
    Assignment("b", on(1), "Fridge"),
]


def test_a_sensor_is_in_one_place_until_it_is_moved():
    assert spells(MOVED) == [
        Spell("a", "Fridge", on(0), on(5)),
        Spell("b", "Fridge", on(1), None),
        Spell("a", "Fridge 2", on(5), on(9)),
    ]


def test_of_two_assignments_at_one_instant_the_later_given_holds():
    twice = [Assignment("a", on(0), "Fridge"), Assignment("a", on(0), "Freezer")]

    assert spells(twice) == [Spell("a", "Freezer", on(0), None)]


@pytest.mark.parametrize(
    ("day", "place"), [(-1, NOWHERE), (0, "Fridge"), (5, "Fridge 2"), (10, NOWHERE)]
)
def test_where_a_sensor_was(day, place):
    assert place_at([one for one in MOVED if one.sensor_id == "a"], on(day)) == place


def test_what_reads_high_is_put_right_downwards():
    assert offset_of(0.4, 0.0) == -0.4
    assert offset_of(98.1, 99.0) == 0.9


@pytest.mark.parametrize("wrong", [0.0, -5.0, float("nan"), float("inf")])
def test_an_interval_must_be_above_0(wrong):
    with pytest.raises(ValueError, match="interval must be above 0"):
        Sensor("id", "probe", wrong)


def test_a_sensor_needs_a_name():
    with pytest.raises(ValueError, match="needs a name"):
        Sensor("id", "  ")


@pytest.mark.parametrize("wrong", [float("nan"), float("inf")])
def test_a_reading_and_an_offset_must_be_numbers(wrong):
    with pytest.raises(ValueError, match="must be a number"):
        Reading(START, wrong)
    with pytest.raises(ValueError, match="must be a number"):
        Offset("a", START, wrong)


def test_times_need_a_zone():
    naive = datetime(2026, 11, 2, 8)

    for make in (
        lambda: Reading(naive, 4.0),
        lambda: Offset("a", naive, 0.1),
        lambda: Assignment("a", naive, "Fridge"),
    ):
        with pytest.raises(ValueError, match="has no time zone"):
            make()


def test_a_method_is_one_of_three():
    with pytest.raises(ValueError, match="a method is one of"):
        Offset("a", START, 0.1, "by eye")


@pytest.mark.parametrize(
    ("temp_c", "state", "doubt"),
    [
        (38.0, "fridge", "38 °C is unusual for a fridge; 38 °F would be 3.3 °C"),
        (
            round((4 - 32) / 1.8, 2),
            "fridge",
            "-15.56 °C is unusual for a fridge; it is 4.0 °F, was 4.0 °C meant?",
        ),
        (140.0, "hot", "140 °C is unusual for a hot hold; 140 °F would be 60.0 °C"),
        (72.0, "counter", "72 °C is unusual for a counter; 72 °F would be 22.2 °C"),
        (150.0, "fridge", "150 °C is unusual for a fridge"),
        (18.0, "freezer", "18 °C is unusual for a freezer; was -18 °C meant?"),
        (30.0, "freezer", "30 °C is unusual for a freezer; 30 °F would be -1.1 °C"),
        (
            85.0,
            "fridge",
            "85 °C is what a common sensor says when it was just switched on",
        ),
    ],
)
def test_a_slip_between_the_scales_or_a_fault_is_named(temp_c, state, doubt):
    assert doubt_about(temp_c, state) == doubt


@pytest.mark.parametrize(
    ("temp_c", "state"),
    [
        (4.0, "fridge"),
        (-18.0, "freezer"),
        (85.0, "hot"),
        (21.0, "counter"),
        (4.0, "freezer"),
    ],
)
def test_ordinary_readings_raise_no_doubt(temp_c, state):
    assert doubt_about(temp_c, state) == ""


@pytest.mark.parametrize(
    ("temp_c", "said"),
    [
        (6.5, "6.5 °C"),
        (4.2, "4.2 °C"),
        (6.4375, "6.4375 °C"),
        (7.0, "7 °C"),
        (100.0, "100 °C"),
        (-0.00001, "0 °C"),
        (-18.0, "-18 °C"),
    ],
)
def test_a_temperature_is_said_as_exactly_as_it_was_read(temp_c, said):
    assert say_temp(temp_c) == said


@pytest.mark.parametrize(
    ("temp_c", "said"), [(5.0, "41 °F"), (6.5, "43.7 °F"), (4.44, "40 °F")]
)
def test_in_us_units_a_temperature_is_said_in_fahrenheit(temp_c, said):
    assert say_temp(temp_c, "us") == said
