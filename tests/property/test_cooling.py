"""Cooling over generated readings: what is missed stays missed, and nothing is passed
early."""

import math
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from lidclock.clock import judge
from lidclock.clock.cooling import stages
from lidclock.domain.foods import Food
from lidclock.domain.history import History, Stay
from lidclock.heat.cooling import (
    NOISE_C,
    TOO_SLOW,
    crossing,
    fit,
    foresee,
    required_rate,
)
from strategies import ALL_SETS

UTC_ZONE = ZoneInfo("UTC")
MADE_AT = datetime(2026, 7, 1, 12, tzinfo=UTC)
SOUP = Food("soup", "soup-stew")
WITH_STAGES = sorted(
    name for name, one in ALL_SETS.items() if one.plan_for(SOUP).process
)
set_ids = st.sampled_from(WITH_STAGES)
minutes = st.integers(0, 600)
degrees = st.integers(0, 900).map(lambda tenths: tenths / 10)
reading = st.tuples(minutes, degrees)
readings = st.lists(reading, max_size=6, unique_by=lambda one: one[0])


def moment(minute):
    return MADE_AT + timedelta(minutes=minute)


def history(found, heated=()):
    return History(
        made_at=MADE_AT,
        stays=(Stay("fridge", MADE_AT, temp_c=3.0),),
        coolings=tuple((moment(minute), c) for minute, c in found),
        reheated_at=tuple(moment(minute) for minute in heated),
        reheated_c=tuple(75.0 for _ in heated),
    )


def states(set_id, one, minute=600):
    guidance = ALL_SETS[set_id]
    shown = stages(
        guidance.plan_for(SOUP), one, guidance.cold_c, UTC_ZONE, moment(minute)
    )
    return {x.rule.id: x.state for x in shown}


def met(set_id, one, minute=600):
    return {key for key, state in states(set_id, one, minute).items() if state == "met"}


def missed(set_id, one, minute=600):
    found = states(set_id, one, minute)
    return {key for key, state in found.items() if state == "missed"}


@given(set_ids, readings, reading)
def test_a_later_reading_never_brings_back_what_was_missed(set_id, found, more):
    last = max((minute for minute, _ in found), default=0)
    later = (last + 1 + more[0], more[1])

    assert missed(set_id, history(found)) <= missed(
        set_id, history([*found, later]), minute=2000
    )


def from_making(set_id, ids):
    """Those of the stages whose hours count from making, not from a stage before.

    A further stage (Australia, Canada) begins when the one before ends: a warm reading
    shows that it had not begun yet, so it may be due later by the authority's own rule.
    """
    further = {one.id for one in ALL_SETS[set_id].rules if one.start_c is not None}
    return ids - further


@given(set_ids, readings, readings)
def test_warm_readings_more_of_them_never_meet_a_stage(set_id, found, more):
    """Warmer than every stage's end: whatever was missed or open stays so."""
    taken = {minute for minute, _ in found}
    warm = [(minute, 30.0 + c) for minute, c in more if minute not in taken]
    now_met = met(set_id, history([*found, *warm]))

    assert from_making(set_id, now_met) <= met(set_id, history(found))


@given(set_ids, readings)
def test_a_further_stage_is_never_met_after_the_hours_of_both(set_id, found):
    guidance = ALL_SETS[set_id]
    plan = guidance.plan_for(SOUP)
    for stage in stages(plan, history(found), guidance.cold_c, UTC_ZONE, moment(600)):
        within = stage.rule.start_within
        if within is not None and stage.state == "met":
            latest = MADE_AT + timedelta(hours=within + stage.rule.hours)

            assert stage.decided_at <= latest


@given(set_ids, readings, st.integers(1, 400).map(lambda tenths: tenths / 10))
def test_the_same_readings_warmer_never_meet_a_stage(set_id, found, more_c):
    """A warmer reading at the same time meets nothing that a colder one did not."""
    warmer = [(minute, c + more_c) for minute, c in found]
    before, now_met = history(found), met(set_id, history(warmer))

    assert from_making(set_id, now_met) <= met(set_id, before)
    assert not missed(set_id, before) & from_making(set_id, now_met)


@given(set_ids, readings)
def test_nothing_is_met_before_the_reading_that_meets_it(set_id, found):
    guidance = ALL_SETS[set_id]
    plan = guidance.plan_for(SOUP)
    for stage in stages(plan, history(found), guidance.cold_c, UTC_ZONE, moment(600)):
        if stage.state != "met" or stage.rule.kind == "chill":
            continue
        known = [one for one in found if moment(one[0]) < stage.decided_at]

        assert any(
            moment(minute) == stage.decided_at and c <= stage.target_c
            for minute, c in found
        )
        assert stage.rule.id not in met(set_id, history(known))


@given(set_ids, readings, minutes)
def test_a_stage_that_is_missed_is_over_for_the_verdict(set_id, found, minute):
    known = [one for one in found if one[0] <= minute]
    result = judge(
        SOUP,
        history(known),
        ALL_SETS[set_id],
        zone=UTC_ZONE,
        now=moment(minute) + timedelta(minutes=1),
    )

    if missed(set_id, history(known), minute):
        assert result.status == "over"


@given(set_ids, readings, minutes)
def test_a_reheating_brings_nothing_back_that_was_missed_by_then(set_id, found, at):
    before = [one for one in found if one[0] < at]
    was = missed(set_id, history(before), at)

    assert was <= missed(set_id, history(found, heated=(at,)))


@given(set_ids, readings, st.lists(minutes, min_size=1, max_size=3, unique=True))
def test_reheatings_put_the_end_off_once_at_most(set_id, found, heated):
    """However often: no stage is due later than twice the hours that it has."""
    one = history(found, heated=heated)
    guidance = ALL_SETS[set_id]
    shown = stages(guidance.plan_for(SOUP), one, guidance.cold_c, UTC_ZONE, moment(600))
    longest = max(
        x.rule.hours + (x.rule.start_within or 0.0) for x in shown if x.rule.hours
    )
    for stage in shown:
        if stage.due_at is not None:
            assert stage.due_at <= MADE_AT + timedelta(hours=2 * longest)


# The estimate.

rates = st.floats(0.05, 3.0)
mediums = st.floats(-20.0, 20.0)
spreads = st.lists(st.floats(0.2, 4.0), min_size=2, max_size=6, unique=True)


def curve(rate, medium_c, times, noise=()):
    exact = [medium_c + (80 - medium_c) * math.exp(-rate * t) for t in times]
    return [c + e for c, e in zip(exact, [*noise, *[0.0] * len(times)], strict=False)]


def hours(found):
    return sorted({round(t, 2) for t in found})


noises = st.lists(st.floats(-2.0, 2.0), max_size=6)


@given(rates, mediums, spreads, noises)
def test_early_comes_before_middle_before_late(rate, medium_c, spread, noise):
    times = hours(spread)
    found = fit(times, curve(rate, medium_c, times, noise), medium_c)
    if found is None:
        return
    when = crossing(found, 21.0)

    assert when.early_h <= when.middle_h <= when.late_h


@given(rates, spreads, noises, st.floats(0.0, 30.0), st.sampled_from([5.0, 8.0, 21.1]))
def test_a_medium_at_the_limit_never_predicts_success(
    rate, spread, noise, above, target_c
):
    medium_c = target_c + above
    times = hours(spread)
    found = fit(times, curve(rate, medium_c, times, noise), medium_c)
    if found is None:
        return
    when = crossing(found, target_c)

    assert math.isinf(when.early_h)
    assert foresee(when, 1e6, 1e6) == TOO_SLOW


@given(rates, mediums, spreads, noises)
def test_a_colder_target_is_never_reached_sooner(rate, medium_c, spread, noise):
    times = hours(spread)
    found = fit(times, curve(rate, medium_c, times, noise), medium_c)
    if found is None:
        return
    warm, cold = crossing(found, 21.0), crossing(found, 5.0)

    assert warm.early_h <= cold.early_h + 1e-3
    assert warm.middle_h <= cold.middle_h + 1e-3
    assert warm.late_h <= cold.late_h + 1e-3


@given(rates, spreads, st.floats(-10.0, 15.0), st.floats(0.0, 5.0))
def test_in_a_warmer_place_the_same_readings_are_colder_later(
    rate, spread, medium_c, warmer
):
    """Readings that lie on a curve: a nearer medium bends it, and it takes longer."""
    times = hours(spread)
    temps = curve(rate, medium_c, times)
    if len(times) < 2 or min(temps) < max(21.0, medium_c + warmer + 4 * NOISE_C):
        return
    there = crossing(fit(times, temps, medium_c), 20.9)
    warmer_there = crossing(fit(times, temps, medium_c + warmer), 20.9)

    assert warmer_there.middle_h >= there.middle_h - 1e-2


@given(rates, spreads, st.floats(0.5, 24), st.floats(0.0, 12))
def test_more_time_never_turns_on_course_into_too_slow(rate, spread, due_h, more):
    order = {"too-slow": 0, "uncertain": 1, "on-course": 2}
    times = hours(spread)
    found = fit(times, curve(rate, 3.0, times), 3.0)
    if found is None:
        return
    when = crossing(found, 21.0)
    short, long = foresee(when, due_h, due_h), foresee(when, due_h + more, due_h + more)

    assert order[short] <= order[long]


@given(st.floats(-20, 4.9), st.floats(0.01, 5), st.floats(1, 10))
def test_a_warmer_place_asks_for_a_higher_rate(medium_c, warmer, more_hours):
    rate = required_rate(57.2, 5.0, 6.0, medium_c)

    assert required_rate(57.2, 5.0, 6.0, medium_c + warmer) >= rate
    assert required_rate(57.2, 5.0, 6.0 + more_hours, medium_c) <= rate


@given(set_ids, readings)
def test_readings_in_any_order_give_the_same_stages(set_id, found):
    one = history(found)
    other = replace(one, coolings=tuple(reversed(one.coolings)))

    assert states(set_id, one) == states(set_id, other)
