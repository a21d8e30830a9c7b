from datetime import UTC, datetime, timedelta

import pytest

from lidclock.domain.history import History, Placing, Stay, clipped, stays_of

NOON = datetime(2026, 11, 2, 12, tzinfo=UTC)
HOUR = timedelta(hours=1)


def test_time_before_the_first_place_is_counter_time_nobody_recorded():
    stays = stays_of(NOON, [Placing(NOON + HOUR, "fridge", "F1", 3.0)])

    assert stays == (
        Stay("counter", NOON, NOON + HOUR, recorded=False),
        Stay("fridge", NOON + HOUR, None, "F1", 3.0),
    )


def test_without_a_place_everything_is_counter_time():
    assert stays_of(NOON, []) == (Stay("counter", NOON, recorded=False),)


def test_placed_at_once_leaves_no_gap():
    assert stays_of(NOON, [Placing(NOON, "fridge")]) == (Stay("fridge", NOON),)


def test_without_a_beginning_there_is_no_gap_to_count():
    assert stays_of(None, [Placing(NOON, "fridge")]) == (Stay("fridge", NOON),)


def test_stays_end_where_the_container_ended():
    placings = [Placing(NOON, "fridge"), Placing(NOON + 3 * HOUR, "counter")]

    assert stays_of(NOON, placings, NOON + HOUR) == (Stay("fridge", NOON, NOON + HOUR),)


def test_clipping_closes_the_stay_that_lasts():
    stays = [Stay("fridge", NOON, NOON + HOUR), Stay("counter", NOON + HOUR)]

    assert clipped(stays, NOON + 2 * HOUR) == [
        stays[0],
        Stay("counter", NOON + HOUR, NOON + 2 * HOUR),
    ]


def test_clipping_drops_what_came_later():
    stays = [Stay("fridge", NOON, NOON + HOUR), Stay("counter", NOON + HOUR)]

    assert clipped(stays, NOON + HOUR) == stays[:1]


def test_a_part_keeps_its_past_and_shares_the_mixtures_future():
    part = History(made_at=NOON, stays=(Stay("fridge", NOON),))
    later = (Stay("freezer", NOON + HOUR),)
    mixture = History(made_at=NOON + HOUR, stays=later, ended_at=NOON + 9 * HOUR)

    result = part.mixed_into(mixture)

    assert result.stays == (Stay("fridge", NOON, NOON + HOUR), *later)
    assert (result.made_at, result.ended_at) == (NOON, mixture.ended_at)


def test_reheating_the_mixture_reheats_the_part():
    part = History(made_at=NOON, reheated_at=(NOON + HOUR,))
    mixture = History(made_at=NOON + 2 * HOUR, reheated_at=(NOON + 3 * HOUR,))

    assert part.mixed_into(mixture).reheated_at == (NOON + HOUR, NOON + 3 * HOUR)


def test_a_stay_is_as_long_as_it_lasted_until_then():
    stay = Stay("fridge", NOON, NOON + 2 * HOUR)

    assert [stay.length(NOON + n * HOUR) for n in (-1, 1, 3)] == [
        0 * HOUR,
        HOUR,
        2 * HOUR,
    ]


def test_a_stay_cannot_end_before_it_began():
    with pytest.raises(ValueError, match="ends before it began"):
        Stay("fridge", NOON, NOON - HOUR)


def test_with_no_place_recorded_it_is_on_the_counter():
    assert not History().is_frozen
