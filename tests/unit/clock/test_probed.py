"""What the food itself measured: from when to when it counts as warm."""

from dataclasses import replace
from datetime import UTC, datetime, timedelta

from lidclock.clock.probed import probe_lines, probed, warm_times
from lidclock.domain.foods import Food
from lidclock.domain.history import Component, History, Stay
from lidclock.domain.moments import zone_of

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
COLD_C = 5.0


def after(hours):
    return NOON + timedelta(hours=hours)


# Two hours in the kitchen's fridge, then in the cool box for good.
CARRIED = History(
    made_at=NOON,
    stays=(
        Stay("fridge", NOON, after(2), "Fridge"),
        Stay("fridge", after(2), None, "Cool box"),
    ),
)


def warm(history):
    return [
        ((x.began - NOON) / timedelta(hours=1), x.ended and x.ended - NOON)
        for x in warm_times(history, COLD_C)
    ]


def pieces(history):
    return [
        (stay.place, stay.began, stay.temp_c) for stay in probed(history, COLD_C).stays
    ]


def test_a_warm_box_was_warm_since_it_was_put_there():
    arrived = replace(CARRIED, probes=((after(3), 8.3),))

    assert warm(arrived) == [(2.0, None)]
    assert pieces(arrived) == [("Fridge", NOON, None), ("Cool box", after(2), 8.3)]


def test_measured_cold_on_the_way_it_was_warm_only_since_then():
    arrived = replace(CARRIED, probes=((after(2.5), 3.0), (after(3), 8.3)))

    assert warm(arrived) == [(2.5, None)]


def test_measured_cold_again_it_is_warm_no_more():
    again = replace(CARRIED, probes=((after(3), 8.3), (after(4), 4.0)))

    assert warm(again) == [(2.0, timedelta(hours=4))]
    assert [temp_c for _, _, temp_c in pieces(again)] == [None, 8.3, None]


def test_a_cold_measurement_makes_no_time_known_as_cold():
    cold = replace(CARRIED, probes=((after(3), 3.0),))

    assert probed(cold, COLD_C) is cold


def test_a_place_that_was_read_warmer_stays_warmer():
    warmer = replace(CARRIED.stays[1], temp_c=11.0)
    arrived = replace(
        CARRIED, stays=(CARRIED.stays[0], warmer), probes=((after(3), 8.3),)
    )

    assert pieces(arrived)[-1] == ("Cool box", after(2), 11.0)


def test_pieces_that_readings_cut_are_one_stay():
    cut = replace(CARRIED.stays[1], began=after(2.5), temp_c=4.0)
    first = replace(CARRIED.stays[1], ended=after(2.5), temp_c=3.0)
    arrived = replace(
        CARRIED, stays=(CARRIED.stays[0], first, cut), probes=((after(3), 8.3),)
    )

    assert pieces(arrived)[1:] == [
        ("Cool box", after(2), 8.3),
        ("Cool box", after(2.5), 8.3),
    ]


def test_on_the_counter_nothing_is_taken_for_cooler_than_unknown():
    counter = History(
        made_at=NOON, stays=(Stay("counter", NOON),), probes=((after(1), 8.3),)
    )

    assert probed(counter, COLD_C) is counter


def test_frozen_food_counts_as_thawed_only_above_the_melting_point():
    frozen = History(made_at=NOON, stays=(Stay("freezer", NOON),))
    cold = replace(frozen, probes=((after(1), -3.0),))
    soft = replace(frozen, probes=((after(1), 1.0),))

    assert probed(cold, COLD_C) is cold
    assert not probed(soft, COLD_C).stays[0].is_frozen


def test_a_part_of_a_mixture_takes_its_warm_time_along():
    part = replace(CARRIED, probes=((after(3), 8.3),))
    mixed = Component("soup", Food("soup", "soup-stew", ()), part)
    mixture = History(made_at=after(4), components=(mixed,))

    (found,) = probed(mixture, COLD_C).components
    assert found.history.stays[-1].temp_c == 8.3


def test_what_nobody_knows_is_said():
    arrived = replace(CARRIED, probes=((after(3), 8.3),))

    assert probe_lines(arrived, COLD_C, zone_of("UTC")) == [
        "it measured 8.3 °C on Mon 2 Nov 2026 15:00: since when, is not known; counted "
        "as that warm from Mon 2 Nov 2026 14:00"
    ]
