"""Stages of cooling as the log shows them; November 2026, New York, made at noon."""

from dataclasses import replace
from datetime import datetime

import pytest

from lidclock.clock import judge
from lidclock.clock.cooling import begin_of, can_begin_again, stages
from lidclock.clock.unknowns import NO_STAGE_ONE
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.domain.moments import from_local, zone_of
from lidclock.guidance.load import load_set, set_names

ZONE = zone_of("America/New_York")
SOUP = Food("soup", "soup-stew")
FOOD_CODE = "us-food-code"


def at(hour, minute=0, day=2):
    return from_local(datetime(2026, 11, day, hour, minute), ZONE)


FRIDGE = History(made_at=at(12), stays=(Stay("fridge", at(12), temp_c=3.0),))


def read(*readings, **facts):
    """In the fridge since noon, read at (hour, minute, °C)."""
    coolings = tuple((at(hour, minute), c) for hour, minute, c in readings)
    return replace(FRIDGE, coolings=coolings, **facts)


def reheated(history, hour, minute=0, temp_c=75.0):
    return replace(
        history,
        reheated_at=(*history.reheated_at, at(hour, minute)),
        reheated_c=(*history.reheated_c, temp_c),
    )


def shown(history, name=FOOD_CODE, now=None):
    guidance = load_set(name)
    plan = guidance.plan_for(SOUP)
    return stages(plan, history, guidance.cold_c, ZONE, now or at(12, 1))


def states(history, name=FOOD_CODE, now=None):
    return [one.state for one in shown(history, name, now)]


def begun(history, name=FOOD_CODE):
    guidance = load_set(name)
    return begin_of(guidance.plan_for(SOUP), history, guidance.cold_c)


def verdict(history, name=FOOD_CODE, now=None):
    now = now or at(12, 1)
    return judge(SOUP, history, load_set(name), zone=ZONE, now=now)


# What is due when.


def test_the_food_code_counts_both_stages_from_making():
    assert [(one.target_c, one.due_at) for one in shown(FRIDGE)] == [
        (21.1, at(14)),
        (5.0, at(18)),
    ]


def test_australia_counts_the_second_stage_from_the_first():
    """At the latest 2 h + 4 h; sooner once 21 °C has been read."""
    waiting, further = [x for x in shown(FRIDGE, "au") if x.rule.kind == "process"]
    after = next(
        x
        for x in shown(read((12, 30, 30.0), (13, 0, 20.0)), "au")
        if x.rule.id == "au.cool2"
    )

    assert (waiting.due_at, further.due_at, further.sure_at) == (at(14), at(18), at(16))
    assert (after.due_at, after.sure_at) == (at(16, 30), at(16, 30))


def test_a_further_stage_begins_no_later_than_the_one_before_was_due():
    """Read at 22 °C after three hours: the further four began at two, not at three."""
    late = read((15, 0, 22.0), (15, 30, 20.0), (18, 30, 4.0))
    further = next(x for x in shown(late, "au", at(19)) if x.rule.id == "au.cool2")

    assert (further.due_at, further.state) == (at(18), "missed")


def test_where_a_set_only_asks_for_the_cold_the_placing_meets_it():
    (stage,) = shown(FRIDGE, "uk-home")

    assert (stage.state, stage.decided_at) == ("met", at(12))


def test_on_the_counter_the_hours_to_the_cold_run():
    counter = replace(FRIDGE, stays=(Stay("counter", at(12)),))

    assert states(counter, "uk-home", at(14)) == ["open"]
    assert states(counter, "uk-home", at(14, 1)) == ["missed"]


@pytest.mark.parametrize("name", ["us-home", "nz"])
def test_sets_without_stages_show_none(name):
    assert shown(FRIDGE, name) == ()


def test_nothing_is_due_while_the_making_time_is_unknown():
    unknown = replace(FRIDGE, made_at=None)

    assert [one.due_at for one in shown(unknown)] == [None, None]


# How a stage stands.


def test_a_stage_waits_until_it_is_due_and_is_overdue_then():
    assert states(read((13, 0, 40.0)), now=at(14)) == ["open", "open"]
    assert states(read((13, 0, 40.0)), now=at(14, 1)) == ["overdue", "open"]


def test_a_stage_is_met_at_the_first_reading_that_is_cold_enough():
    first, second = shown(read((13, 0, 40.0), (13, 50, 20.0), (17, 0, 4.0)), now=at(20))

    assert (first.state, first.decided_at) == ("met", at(13, 50))
    assert (second.state, second.decided_at) == ("met", at(17))


def test_a_reading_that_is_warm_when_it_is_due_misses_it():
    assert states(read((14, 0, 22.0)), now=at(14)) == ["missed", "open"]


def test_70_fahrenheit_is_the_21_degrees_of_the_code():
    """(70 - 32) / 1.8 = 21.1 °C, which a probe in °F shows as 70."""
    assert states(read((14, 0, 21.1)), now=at(14))[0] == "met"
    assert states(read((14, 0, 21.2)), now=at(14))[0] == "missed"


def test_a_cold_reading_that_came_late_leaves_the_first_stage_unknown():
    history = read((13, 0, 40.0), (15, 0, 15.0))

    assert states(history, now=at(15))[0] == "overdue"


@pytest.mark.parametrize("name", set_names())
@pytest.mark.parametrize(
    "history",
    [
        FRIDGE,
        read((13, 0, 30.0)),
        read((14, 0, 22.0)),
        read((13, 30, 20.0), (17, 0, 4.0)),
        read((13, 30, 9.0), (19, 0, 4.0)),
        reheated(read((13, 50, 30.0), (15, 30, 18.0)), 13, 55),
    ],
)
def test_the_log_says_what_the_verdict_says(name, history):
    """Missed in the log is over in the verdict, and the other way round."""
    now = at(20)
    limits = verdict(history, name, now).limits
    over = {
        one.rule.id
        for one in limits
        if one.rule.kind in ("process", "chill") and one.over_at and one.over_at <= now
    }
    missed = {x.rule.id for x in shown(history, name, now) if x.state == "missed"}

    assert missed == over


# A hot hold and a reheating.


def hot_until(hour, minute=0, temp_c=None):
    return replace(
        FRIDGE,
        stays=(
            Stay("hot", at(12), at(hour, minute), temp_c=temp_c),
            Stay("fridge", at(hour, minute), temp_c=3.0),
        ),
    )


def test_the_hours_begin_when_it_leaves_the_hot_hold():
    assert [one.due_at for one in shown(hot_until(15))] == [at(17), at(21)]
    assert begun(hot_until(15)).since == "out of the hot hold"


def test_a_hold_that_is_not_hot_enough_puts_nothing_off():
    assert begun(hot_until(15, temp_c=50.0)).at == at(12)


def test_while_it_is_held_hot_nothing_is_due():
    held = replace(FRIDGE, stays=(Stay("hot", at(12)),))

    assert [one.due_at for one in shown(held)] == [None, None]


def test_a_hot_hold_after_the_hours_were_up_gives_none_back():
    late = replace(
        FRIDGE,
        stays=(Stay("counter", at(12), at(14, 1)), Stay("hot", at(14, 1), at(16))),
    )

    assert begun(late).at == at(12)


def test_a_reheating_in_time_starts_the_hours_again():
    history = reheated(read((13, 50, 30.0), (15, 30, 18.0)), 13, 55)
    first = shown(history, now=at(16))[0]

    assert (first.due_at, first.state) == (at(15, 55), "met")
    assert not any(x.over_at for x in verdict(history).limits if x.rule.below_c)


def test_a_reheating_at_the_very_end_of_the_hours_is_in_time():
    history = reheated(read((14, 0, 22.0)), 14)

    assert states(history, now=at(14)) == ["open", "open"]


def test_a_reheating_after_a_missed_stage_brings_nothing_back():
    history = reheated(read((14, 0, 22.0), (15, 30, 18.0)), 14, 1)

    assert states(history, now=at(16))[0] == "missed"
    assert verdict(history, now=at(16)).status == "over"


def test_a_reheating_that_was_not_hot_enough_starts_nothing():
    assert begun(reheated(read((13, 50, 30.0)), 13, 55, 60.0)).since == "made"


def test_the_hours_start_again_once_only():
    twice = reheated(reheated(read((13, 50, 30.0)), 13, 55), 15, 30)

    assert begun(twice).at == at(13, 55)


def test_a_cold_reading_from_before_the_reheating_meets_nothing_after_it():
    """20 °C at 13:30 met the first stage; heated at 15:00 it has to cool again."""
    history = reheated(read((13, 30, 20.0)), 15)

    assert states(history, now=at(15, 1)) == ["open", "open"]
    assert states(history, now=at(17, 1))[0] == "overdue"


def test_a_reading_at_the_moment_of_reheating_belongs_to_what_was_before():
    """8 °C at 18:00 fails the second stage; it does not meet the first one after."""
    history = reheated(read((13, 30, 20.0), (18, 0, 8.0)), 18)

    assert states(history, now=at(18, 1)) == ["open", "open"]


def test_reheating_what_was_cold_already_starts_no_cooling():
    history = reheated(read((13, 30, 20.0), (17, 0, 4.0)), 17, 30)

    assert begun(history).at == at(12)


def test_after_a_reheating_the_first_stage_has_to_be_looked_at_again():
    history = reheated(read((13, 50, 30.0), (18, 30, 4.0)), 13, 55)

    assert NO_STAGE_ONE in verdict(history, now=at(19)).unknown


@pytest.mark.parametrize(
    ("history", "moment", "expected"),
    [
        (FRIDGE, at(13), True),
        (FRIDGE, at(14), True),
        (FRIDGE, at(14, 1), False),
        (read((14, 0, 22.0)), at(14), True),
        (reheated(FRIDGE, 13), at(14), False),
        (read((13, 0, 20.0)), at(17), True),
        (read((13, 0, 20.0)), at(18, 1), False),
    ],
)
def test_whether_a_reheating_would_help_now(history, moment, expected):
    guidance = load_set(FOOD_CODE)
    plan = guidance.plan_for(SOUP)

    assert can_begin_again(plan, history, guidance.cold_c, moment) is expected


def test_a_set_that_only_asks_for_the_cold_gives_hours_back_until_they_are_up():
    guidance = load_set("uk-home")
    plan = guidance.plan_for(SOUP)
    counter = replace(FRIDGE, stays=(Stay("counter", at(12)),))

    assert can_begin_again(plan, counter, guidance.cold_c, at(14))
    assert not can_begin_again(plan, counter, guidance.cold_c, at(14, 1))


def test_a_warm_reading_in_time_does_not_show_that_the_first_stage_was_met():
    """Read at 13:00 and then at 17:00: how warm it was at 14:00 nobody knows."""
    assert NO_STAGE_ONE in verdict(read((13, 0, 40.0), (17, 0, 4.0))).unknown
    assert NO_STAGE_ONE not in verdict(read((13, 0, 20.0), (17, 0, 4.0))).unknown
    assert NO_STAGE_ONE not in verdict(read((14, 0, 40.0), (17, 0, 4.0))).unknown
