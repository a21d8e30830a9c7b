"""What was eaten, day by day, on a real ledger, and what it says of days to come."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from tests.unit.app.conftest import at

from lidclock.app import corrections, moves, prep
from lidclock.app.consumption import demand_until, eaten, planned_demand
from lidclock.app.prep import Input, Order
from lidclock.app.session import Fact
from lidclock.domain.foods import Food
from lidclock.domain.planning import Choices, Item, Meal, Occurrence
from lidclock.plan.demand import certain, poisson
from lidclock.plan.record import Series
from lidclock.store import Kitchens

SOUP = Food("Leek Soup", "soup-stew", portion_g=300.0)
JAR = Food("relish", "cooked-vegetables")
CHOICES = Choices()
DAY = timedelta(days=1)


def make(session, food=SOUP, count=3, mass_g=300.0, **order):
    total_g = None if mass_g is None else count * mass_g
    wanted = {"total_g": total_g, "place": session.place("Fridge"), **order}
    with session.write() as unit:
        return prep.prep(unit, Order(food, count, **wanted)).codes


def do(session, act, *args, **more):
    with session.write() as unit:
        return act(unit, *args, anyway=True, **more)


def record(session, food="leek soup", **more):
    with session.read() as unit:
        return eaten(unit, session.now, **more).get(food)


def used_on(opened, *moments, **making):
    """Containers made on Mon 2 Nov 2026, one used up at each of `moments`."""
    codes = make(opened("2026-11-02T09:00"), count=len(moments), **making)
    for code, moment in zip(codes, moments, strict=True):
        do(opened(moment), moves.use, code)
    return codes


def test_days_without_demand_count_from_the_first_making_on(opened):
    used_on(opened, "2026-11-02T19:00", "2026-11-02T19:30", "2026-11-05T12:00")

    seen = record(opened("2026-11-07T08:00"))

    assert (seen.food, seen.first_on) == ("leek soup", date(2026, 11, 2))
    assert seen.eaten == (2, 0, 0, 1, 0)
    assert seen.ends_at == at("2026-11-07T00:00")


def test_the_record_goes_back_as_many_weeks_as_asked_for(opened):
    used_on(opened, "2026-11-02T19:00", "2026-11-12T12:00")

    seen = record(opened("2026-11-16T08:00"), weeks=1)

    assert seen.first_on == date(2026, 11, 9)
    assert seen.eaten == (0, 0, 0, 1, 0, 0, 0)


def test_what_is_given_or_discarded_was_not_wanted_here(opened):
    codes = make(opened("2026-11-02T09:00"))
    later = opened("2026-11-03T12:00")
    do(later, moves.give, codes[0], "a neighbour")
    do(later, moves.discard, codes[1], "forgotten")
    do(later, moves.use, codes[2])

    assert record(opened("2026-11-05T08:00")).eaten == (0, 1, 0)


def test_a_day_begins_at_midnight_in_the_kitchens_zone(opened):
    """23:30 and 00:30 in New York are 04:30 and 05:30 of the same day in UTC."""
    used_on(opened, "2026-11-03T23:30", "2026-11-04T00:30")

    assert record(opened("2026-11-06T08:00")).eaten == (0, 1, 1, 0)


def test_a_day_begins_when_the_kitchens_working_day_does(opened):
    session = opened("2026-11-01T09:00")
    with session.write() as unit:
        kitchen = replace(session.kitchen, day_start_h=4)
        Kitchens(unit.connection).update(kitchen)
    used_on(opened, "2026-11-04T03:30", "2026-11-04T04:30")

    seen = record(opened("2026-11-06T03:00"))

    assert seen.eaten == (0, 1, 1)
    assert seen.ends_at == at("2026-11-05T04:00")


def test_parts_are_portions_by_mass_and_add_up_over_days(opened):
    """900 g: 100 + 100 + 100 + 250 g and a rest of 350 g are three portions."""
    (tub,) = make(opened("2026-11-02T09:00"), count=1, mass_g=900.0)
    for day, grams in ((2, 100.0), (3, 100.0), (4, 100.0), (5, 250.0)):
        do(opened(f"2026-11-0{day}T12:00"), moves.take, tub, grams)
    do(opened("2026-11-06T12:00"), moves.use, tub)

    seen = record(opened("2026-11-08T08:00"))

    # Sums of 1/3, 2/3, 1, 1 5/6 and 3, each rounded: 0, 1, 1, 2, 3.
    assert seen.eaten == (0, 1, 0, 1, 1, 0)
    assert sum(seen.eaten) == 3


def test_a_container_taken_to_the_last_gram_counts_once(opened):
    (box,) = make(opened("2026-11-02T09:00"), count=1)
    do(opened("2026-11-03T12:00"), moves.take, box, 300.0)

    assert record(opened("2026-11-05T08:00")).eaten == (0, 1, 0)


def test_a_whole_container_holds_portions_as_plans_count_them(opened):
    """A tenth of a portion short still counts: six of 272 g are six of 300 g."""
    used_on(opened, *["2026-11-03T12:00"] * 6, mass_g=272.0)

    assert record(opened("2026-11-05T08:00")).eaten == (0, 6, 0)


def test_what_was_taken_of_an_ended_container_was_never_there(opened):
    (box,) = make(opened("2026-11-02T09:00"), count=1)
    do(opened("2026-11-03T12:00"), moves.discard, box, "dropped")
    do(opened("2026-11-04T12:00"), moves.take, box, 300.0)

    assert record(opened("2026-11-06T08:00")).eaten == (0, 0, 0, 0)


def test_without_a_portion_a_container_is_one_when_it_is_used_up(opened):
    (jar,) = make(opened("2026-11-02T09:00"), JAR, count=1, mass_g=500.0)
    do(opened("2026-11-03T12:00"), moves.take, jar, 100.0)
    do(opened("2026-11-04T12:00"), moves.take, jar, 400.0)

    assert record(opened("2026-11-06T08:00"), "relish").eaten == (0, 0, 1, 0)


def test_what_went_into_another_food_was_wanted_too(opened):
    codes = make(opened("2026-11-02T09:00"), count=2)
    make(opened("2026-11-03T09:00"), JAR, count=1, inputs=(Input(codes[0], 150.0),))
    make(opened("2026-11-03T10:00"), JAR, count=1, inputs=(Input(codes[0], 150.0),))

    assert record(opened("2026-11-05T08:00")).eaten == (0, 1, 0)


def test_what_was_taken_back_or_corrected_counts_as_it_stands(opened):
    first, second = make(opened("2026-11-02T09:00"), count=2)
    do(opened("2026-11-03T12:00"), moves.take, first, 300.0)
    with opened("2026-11-03T12:05").write() as unit:
        corrections.undo(unit)
    do(opened("2026-11-03T12:10"), moves.take, second, 300.0)
    with opened("2026-11-03T12:15").write() as unit:
        (taken,) = [one for one in unit.ledger.of([second]) if one.kind == "taken"]
        change = {"happened_at": at("2026-11-04T12:00").isoformat()}
        body = {"event": taken.id, "set": change}
        unit.record([Fact("corrected", second, body)])

    assert record(opened("2026-11-06T08:00")).eaten == (0, 0, 1, 0)


def test_days_with_nothing_there_tell_nothing(opened):
    """Gone on Tuesday evening, made again on Friday: two silent days."""
    used_on(opened, "2026-11-03T19:00")
    make(opened("2026-11-06T09:00"), count=1)

    seen = record(opened("2026-11-08T08:00"))

    assert seen.eaten == (0, 1, 0, 0, 0, 0)
    assert seen.was_there == (True, True, False, False, True, True)
    assert seen.record == (0, 1, None, None, 0, 0)
    assert seen.ran_out == 1


def test_frozen_boxes_are_there(opened):
    (box,) = make(opened("2026-11-02T09:00"), count=1)
    do(opened("2026-11-02T10:00"), moves.freeze, box)

    assert record(opened("2026-11-05T08:00")).record == (0, 0, 0)


def test_a_food_first_made_today_has_no_day_yet(opened):
    make(opened("2026-11-02T09:00"))

    seen = record(opened("2026-11-02T20:00"))

    assert (seen.eaten, seen.weeks, seen.record) == ((), 0, ())


def test_a_food_nobody_made_has_no_record(opened):
    assert record(opened("2026-11-02T20:00")) is None


def supper(portions=2, **more):
    begins = datetime(2026, 11, 3, 18, 30)
    items = (Item("leek soup", portions),)
    return Meal("m1", begins, "America/New_York", items, **more)


def plan(session, meal):
    fact = Fact("noted", f"meal/{meal.id}", {"meal": meal.as_dict()})
    with session.write() as unit:
        unit.record([fact])


def test_what_a_meal_planned_is_not_counted_twice(opened):
    """Three eaten on the evening of a meal for two: one beyond the plan."""
    moments = [f"2026-11-03T18:{minute}" for minute in (30, 31, 32)]
    used_on(opened, *moments, "2026-11-04T12:00")
    plan(opened("2026-11-02T10:00"), supper())

    seen = record(opened("2026-11-06T08:00"))

    assert seen.eaten == (0, 3, 1, 0)
    assert seen.planned == (0, 2, 0, 0)
    assert seen.record == (0, 1, 1, None)


def test_a_meal_that_nobody_ate_takes_nothing_off_other_days(opened):
    used_on(opened, "2026-11-02T12:00", "2026-11-04T12:00")
    plan(opened("2026-11-02T10:00"), supper())

    assert record(opened("2026-11-05T08:00")).record == (1, 0, 1)


def series(record, **more):
    """A record of all stocked days up to Mon 2 Nov 2026 in UTC."""
    days, ends_at = len(record), datetime(2026, 11, 2, tzinfo=UTC)
    return Series(
        *("soup", (ends_at - days * DAY).date(), ends_at),
        tuple(record),
        (0,) * days,
        (True,) * days,
        **more,
    )


def test_demand_until_is_the_rate_over_days_and_parts_of_days():
    """Two a day: two and a quarter days from noon are 4.5."""
    known = series([2] * 56)
    noon = known.ends_at + DAY / 2

    demand = demand_until(known, CHOICES, noon, noon + 2.25 * DAY)

    assert demand.mean == pytest.approx(4.5)
    assert demand.variance == pytest.approx(4.5)


def test_planned_portions_come_on_top_for_certain():
    known = series([2] * 56)

    demand = demand_until(known, CHOICES, known.ends_at, known.ends_at + DAY, 4)

    assert demand == poisson(2).plus(4)
    assert demand.at_least(4) == 1


def test_without_a_record_only_what_is_planned_is_wanted():
    now = datetime(2026, 11, 2, tzinfo=UTC)

    assert demand_until(None, CHOICES, now, now + DAY, 3) == certain(3)
    assert demand_until(series([]), CHOICES, now, now + DAY, 3) == certain(3)
    assert demand_until(series([2] * 56), CHOICES, now, now, 3) == certain(3)


def test_a_record_that_varies_spreads_what_it_says():
    """0 and 8 by turns: mean 4, sample variance 16 x 56/55, over 4 per portion."""
    known = series([0, 8] * 28)

    demand = demand_until(known, CHOICES, known.ends_at, known.ends_at + 14 * DAY)

    assert demand.variance / demand.mean == pytest.approx(4 * 56 / 55)


def test_last_weeks_weekdays_are_those_of_the_days_to_come():
    """Nine every Saturday. The record ends on a Sunday, so Saturday is five days on."""
    known = series([0, 0, 0, 0, 0, 9, 0] * 8)
    friday = known.ends_at + 4 * DAY

    assert demand_until(known, CHOICES, friday, friday + DAY) == certain(0)
    assert demand_until(
        known, CHOICES, friday + DAY, friday + 2 * DAY
    ).mean == pytest.approx(9)
    # From Friday noon to Saturday noon: half of it.
    half = demand_until(known, CHOICES, friday + DAY / 2, friday + 1.5 * DAY)
    assert half.mean == pytest.approx(4.5)


def occurrence(meal):
    return Occurrence(
        meal, datetime(2026, 11, 3, 23, 30, tzinfo=UTC), date(2026, 11, 3)
    )


def test_meals_want_portions_or_one_for_each_eater():
    both = [occurrence(supper(2)), occurrence(supper(None, eaters=5))]

    assert planned_demand("LEEK soup", both) == certain(7)
    assert planned_demand("bread", both) == certain(0)


def test_eaters_who_vary_are_not_certain():
    party = occurrence(supper(None, eaters=12, spread=3))

    demand = planned_demand("leek soup", [party])

    assert demand.mean == pytest.approx(12, abs=1e-3)
    assert demand.at_least(14) == pytest.approx(0.3085, abs=1e-3)
