"""Ways set to the clock: hours back from the meal, limits before they are passed."""

from datetime import UTC, datetime, timedelta

import pytest

from lidclock.clock import judge
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import zone_of
from lidclock.guidance.load import load_set
from lidclock.plan.takeout import (
    COUNTER,
    FRIDGE,
    FROZEN,
    STRAIGHT,
    TOO_LATE,
    WATER,
    Hours,
    Way,
    chosen_among,
    option_of,
    weighed,
    what_if,
)

NEW_YORK = zone_of("America/New_York")
HOUR = timedelta(hours=1)
MADE = datetime(2026, 11, 2, 15, tzinfo=UTC)
NOW = MADE + 10 * HOUR
MEAL = datetime(2026, 11, 5, 23, 30, tzinfo=UTC)
STEW = Food("stew", "soup-stew")
HOME, UK = load_set("us-home"), load_set("uk-home")


def frozen(guidance=HOME, food=STEW, warm_h=0.0):
    """Frozen right after making, but for so many hours on the counter."""
    froze = MADE + warm_h * HOUR
    stays = (Stay("freezer", froze, None, "Freezer"),)
    if warm_h:
        stays = (Stay("counter", MADE, froze), *stays)
    history = History(made_at=MADE, stays=stays)
    return judge(food, history, guidance, zone=NEW_YORK, now=NOW)


def way(name, high, low=None, place=""):
    low = high if low is None else low
    return Way(name, place or name, Hours(low, (low + high) / 2, high, "test"))


def test_the_slow_case_is_in_time():
    option = option_of(way(FRIDGE, 30, low=20), MEAL)

    assert option.take_out_at == MEAL - 30 * HOUR
    assert option.ready_low_at == MEAL - 10 * HOUR
    assert option.ready_mid_at == MEAL - 5 * HOUR
    assert option.ready_high_at == MEAL
    assert option.alarm_at == MEAL - timedelta(minutes=10)


def test_it_comes_out_in_a_whole_minute_and_the_earlier_one():
    """1.51 h are 1 h 30 min 36 s: out 1 h 31 min before."""
    option = option_of(way(COUNTER, 1.51), MEAL)

    assert option.take_out_at == MEAL - timedelta(minutes=91)


@pytest.mark.parametrize("hours", [(3, 2, 4), (1, 2, 1), (-1, 1, 2), (1, 2, 1e9)])
def test_hours_that_do_not_rise_are_refused(hours):
    with pytest.raises(ValueError, match="must rise"):
        Hours(*hours, "test")


def test_hours_that_are_no_numbers_are_refused():
    with pytest.raises(ValueError, match="must rise"):
        Hours(1, 2, float("nan"), "test")


def test_two_hours_on_the_counter_are_up_at_the_meal():
    """Two hours in all are allowed: 1 h 59 min leave a minute, 2 h nothing."""
    short, full = way(COUNTER, 1 + 59 / 60), way(COUNTER, 2)
    options, refused = weighed([short, full], frozen(), MEAL, NOW)

    assert [one.way for one in options] == [short]
    assert options[0].last_moment == MEAL + timedelta(minutes=1)
    assert options[0].counter_h == pytest.approx(1 + 59 / 60)
    assert [one.way for one in refused] == [full]
    assert refused[0].limit.id == "us.home.2h"
    assert "2 hours" in refused[0].why


def test_what_was_spent_before_the_freezer_is_charged_too():
    """40 min were spent: 1 h 19 min more are left open, 1 h 20 min are not."""
    short, full = way(WATER, 79 / 60), way(WATER, 80 / 60)
    options, refused = weighed([short, full], frozen(warm_h=2 / 3), MEAL, NOW)

    assert [one.way for one in options] == [short]
    assert [one.way for one in refused] == [full]


def test_the_longest_counter_time_is_what_counts():
    """Ready in an hour, perhaps in three: it is out for three."""
    _, refused = weighed([way(COUNTER, 3, low=1)], frozen(), MEAL, NOW)

    assert refused[0].limit.id == "us.home.2h"


def test_a_fridge_thaw_spends_days():
    """Four days at most, day 1 is the making day: three more days are too many."""
    long = way(FRIDGE, 75)
    meal = NOW + 80 * HOUR
    options, refused = weighed([way(FRIDGE, 30), long], frozen(), meal, NOW)

    assert [one.way.hours.high for one in options] == [30]
    assert [one.way for one in refused] == [long]
    assert refused[0].limit.rule.kind == "day-count"


def test_fresh_hours_begin_when_it_comes_out():
    """24 h after thawing: not out a day before the meal, but 23 h before."""
    assert UK.counting.fresh_hours == 24
    options, refused = weighed(
        [way(FRIDGE, 23), way(FRIDGE, 24)], frozen(UK), MEAL, NOW
    )

    assert [one.way.hours.high for one in options] == [23]
    assert options[0].last_moment == MEAL + HOUR
    assert refused[0].limit.over_at - refused[0].take_out_at > 23 * HOUR
    assert "; 24 h from Wed 4 Nov 2026 18:30 (first taken out of" in refused[0].why


def test_what_should_have_begun_already_is_too_late():
    _, refused = weighed([way(FRIDGE, 100)], frozen(), MEAL, MEAL - 20 * HOUR)

    assert [one.why for one in refused] == [TOO_LATE]


def test_a_warm_place_is_charged_as_warm():
    """A fridge that measures 9 °C uses up the two hours."""
    warm = Way(FRIDGE, "Fridge", Hours(8, 8, 8, "test"), temp_c=9.0)
    options, refused = weighed([warm], frozen(), MEAL, NOW)

    assert options == []
    assert refused[0].limit.id == "us.home.2h"


def test_the_verdict_itself_is_left_alone():
    verdict = frozen()
    before = verdict.history
    then = what_if(verdict, option_of(way(COUNTER, 1), MEAL), MEAL, NOW)

    assert then.history.stays[-1].state == "counter"
    assert then.history.stays[-2].ended == MEAL - HOUR
    assert verdict.history is before
    assert len(before.stays) == 1


def test_what_is_unknown_stays_unknown():
    verdict = frozen(food=Food("thing", "no-such-category"))
    options, refused = weighed([way(FRIDGE, 1)], verdict, MEAL, NOW)

    assert options == []
    assert "category" in refused[0].why


def test_the_fridge_comes_first_and_the_counter_last():
    verdict = frozen(food=Food("sauce", "vinegar-sauce", house_days=30))
    ways = [way(name, 1) for name in (COUNTER, WATER, FRIDGE)] + [Way(FROZEN, "stove")]
    options, _ = weighed(ways, verdict, MEAL, NOW)

    told = [one.way.name for one in chosen_among(options)]
    asked = [one.way.name for one in chosen_among(options, "counter")]

    assert told == [FRIDGE, WATER, COUNTER, FROZEN]
    assert asked == [COUNTER, FRIDGE, WATER, FROZEN]


def test_straight_from_the_fridge_changes_nothing():
    history = History(made_at=MADE, stays=(Stay("fridge", MADE, None),))
    verdict = judge(STEW, history, HOME, zone=NEW_YORK, now=NOW)
    options, _ = weighed([way(STRAIGHT, 0)], verdict, MEAL, NOW)

    assert options[0].take_out_at == MEAL
    assert options[0].last_moment == verdict.last_moment
