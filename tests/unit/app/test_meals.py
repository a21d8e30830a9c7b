"""Meals on a real ledger: their days, their numbers, what is short."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta

import pytest
from tests.unit.app.conftest import at

from lidclock.app import corrections, meals, moves, prep, setup, transfer
from lidclock.app.meal_changes import (
    Draft,
    add_meal,
    change_meal,
    remove_meal,
    skip_meal,
)
from lidclock.app.meal_stock import outlook
from lidclock.app.meal_words import say_repeats, until_text
from lidclock.app.prep import Order
from lidclock.domain.foods import Food
from lidclock.domain.moments import zone_of
from lidclock.domain.planning import MEAL_SUBJECT, Item, Meal
from lidclock.errors import InputError, RefusedError, UnknownThingError

DOUGH = Food("bun dough", "yeast-dough-raw", ("wheat",), house_days=6)
ALWAYS = datetime(1990, 1, 1, tzinfo=UTC), datetime(2040, 1, 1, tzinfo=UTC)


def meal(begins, rule="", zone="America/New_York", **more):
    start = datetime.fromisoformat(begins)
    return Meal("m", start, zone, (Item("bread"),), rule=rule, **more)


def local(found, zone="America/New_York"):
    return [f"{one.at.astimezone(zone_of(zone)):%Y-%m-%d %H:%M %Z}" for one in found]


@pytest.fixture
def kitchen(opened):
    """Tue 3 Nov 2026 08:00: four boxes of dough in the fridge until Sun 8 Nov."""
    session = opened("2026-11-03T08:00")
    with session.write() as unit:
        order = Order(DOUGH, 4, portion_g=300.0, place=session.place("Fridge"))
        prep.prep(unit, order)
    return session


def add(session, when, *items, **more):
    draft = Draft(at=at(when), items=tuple(Item(*one) for one in items), **more)
    with session.write() as unit:
        return add_meal(unit, draft)


def short(session, number):
    with session.read() as unit:
        return outlook(unit, str(number)).short


def test_a_meal_happens_once_within_its_window_only():
    once = meal("2026-11-05T18:30")
    instant = at("2026-11-05T18:30")
    tick = timedelta(microseconds=1)

    assert len(meals.occurrences([once], instant, instant + tick)) == 1
    assert meals.occurrences([once], instant - tick, instant) == []
    assert meals.occurrences([once], instant + tick, instant + 2 * tick) == []


def test_a_daily_half_past_six_stays_so_when_clocks_go_back():
    found = meals.occurrences([meal("2026-10-31T18:30", "FREQ=DAILY;COUNT=3")], *ALWAYS)

    assert local(found) == [
        "2026-10-31 18:30 EDT",
        "2026-11-01 18:30 EST",
        "2026-11-02 18:30 EST",
    ]


def test_a_meal_in_the_hour_that_comes_twice_is_the_first_of_them():
    found = meals.occurrences([meal("2026-10-31T01:30", "FREQ=DAILY;COUNT=2")], *ALWAYS)

    assert local(found) == ["2026-10-31 01:30 EDT", "2026-11-01 01:30 EDT"]


def test_a_meal_in_the_hour_that_is_skipped_is_an_hour_later_on_that_day_only():
    """RFC 5545, 3.3.5: the offset before the gap, so 02:30 of 8 Mar 2026 is 03:30."""
    found = meals.occurrences([meal("2026-03-07T02:30", "FREQ=DAILY;COUNT=3")], *ALWAYS)

    assert local(found) == [
        "2026-03-07 02:30 EST",
        "2026-03-08 03:30 EDT",
        "2026-03-09 02:30 EDT",
    ]


def test_a_day_that_a_zone_skips_has_no_meal_of_its_own():
    """Samoa had no 30 Dec 2011: its meal and that of the 31st would be one instant."""
    apia = meal("2011-12-29T18:30", "FREQ=DAILY;COUNT=4", "Pacific/Apia")
    found = meals.occurrences([apia], *ALWAYS)

    assert [one.on.isoformat() for one in found] == [
        "2011-12-29",
        "2011-12-31",
        "2012-01-01",
    ]


def test_the_next_times_come_after_the_hour_asked_about():
    daily = meal("2026-11-05T18:30", "FREQ=DAILY;COUNT=3")
    second = at("2026-11-06T18:30")
    tick = timedelta(microseconds=1)

    assert [one.on.day for one in meals.coming(daily, second - tick, 9)] == [6, 7]
    assert [one.on.day for one in meals.coming(daily, second, 9)] == [7]
    assert [one.on.day for one in meals.coming(daily, ALWAYS[0], 2)] == [5, 6]
    assert meals.coming(daily, at("2026-11-08T00:00")) == []


def test_days_left_out_are_left_out_and_counted_all_the_same():
    weekly = meal(
        "2026-11-05T18:30", "FREQ=WEEKLY;COUNT=3", without=(date(2026, 11, 12),)
    )

    assert [one.on.day for one in meals.occurrences([weekly], *ALWAYS)] == [5, 19]


def test_meals_of_several_zones_stand_in_the_order_of_their_instants():
    early = meal("2026-11-05T18:30", zone="Europe/London")
    late = meal("2026-11-05T18:00")

    found = meals.occurrences([late, early], *ALWAYS)

    assert [one.meal.zone_name for one in found] == [
        "Europe/London",
        "America/New_York",
    ]


def test_numbers_follow_the_order_of_adding_and_are_never_used_again(kitchen):
    first = add(kitchen, "2026-11-05T18:30", ("bun dough",))
    second = add(kitchen, "2026-11-04T18:30", ("bun dough",))
    with kitchen.write() as unit:
        remove_meal(unit, "1")
    with kitchen.write() as unit:
        corrections.undo(unit)
        corrections.undo(unit)
    third = add(kitchen, "2026-11-06T18:30", ("bun dough",))

    assert [one.number for one in (first, second, third)] == [1, 2, 3]
    with kitchen.read() as unit:
        assert [one.number for one in meals.numbered(unit)] == [1, 3]
        with pytest.raises(UnknownThingError, match="meal 2 was taken off the list"):
            meals.find_meal(unit, "2")


def test_numbers_go_by_when_a_meal_was_recorded_whatever_it_says_of_its_hour(kitchen):
    first = add(kitchen, "2026-11-05T18:30", ("bun dough",))
    with kitchen.write() as unit:
        (told,) = unit.ledger.starting(f"{MEAL_SUBJECT}{first.meal.id}")
        unit.ledger.append(
            replace(
                told,
                id=f"{told.id[:-4]}0000",
                subject=f"{MEAL_SUBJECT}other",
                happened_at=told.happened_at - timedelta(days=9),
                recorded_at=told.recorded_at + timedelta(hours=1),
            )
        )

    with kitchen.read() as unit:
        assert [one.meal.id for one in meals.numbered(unit)] == [first.meal.id, "other"]


def test_a_meal_is_found_by_its_name_unless_two_bear_it(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough",), name="dinner")
    add(kitchen, "2026-11-06T18:30", ("bun dough",), name="Lunch")
    add(kitchen, "2026-11-07T18:30", ("bun dough",), name="lunch")

    with kitchen.read() as unit:
        assert meals.find_meal(unit, "DINNER").number == 1
        with pytest.raises(InputError, match="meals 2 and 3"):
            meals.find_meal(unit, "lunch")


def test_two_of_six_portions_are_short(kitchen):
    """Four boxes, each a portion, against six wanted on Thu 5 Nov."""
    add(kitchen, "2026-11-05T18:30", ("bun dough", 6))
    (one,) = short(kitchen, 1)

    assert (one.missing, one.wanted, one.frozen) == (2, 6, 0)
    assert one.says(meal("2026-11-05T18:30"), kitchen.now) == (
        "short: 2 of 6 portions of bun dough by Thu 5 Nov 18:30"
    )


def test_nothing_is_short_where_there_is_enough(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough", 4))

    assert short(kitchen, 1) == ()


def test_a_food_without_a_number_is_wanted_by_each_eater(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough",), eaters=5)

    assert [(x.missing, x.wanted) for x in short(kitchen, 1)] == [(1, 5)]


def test_frozen_portions_are_told_apart(kitchen):
    with kitchen.write() as unit:
        codes = unit.snapshots.codes()
        for code in codes[:3]:
            moves.place(unit, code, kitchen.place("Freezer"))
    add(kitchen, "2026-11-05T18:30", ("bun dough", 2))
    (one,) = short(kitchen, 1)

    assert (one.missing, one.wanted, one.frozen) == (1, 2, 3)
    assert "(3 more are frozen)" in one.says(meal("2026-11-05T18:30"), kitchen.now)


@pytest.mark.parametrize(
    ("when", "missing"), [("2026-11-08T23:59", []), ("2026-11-09T00:00", [4])]
)
def test_what_is_past_its_last_moment_by_then_does_not_count(kitchen, when, missing):
    """Six days, the first on Tue 3 Nov: the last is Sun 8 Nov, until midnight."""
    add(kitchen, when, ("bun dough", 4))

    assert [x.missing for x in short(kitchen, 1)] == missing


@pytest.mark.usefixtures("kitchen")
def test_a_meal_at_the_last_moment_itself_eats_what_lasts_longer(opened):
    """Four boxes end at midnight after 8 Nov; two made on the 5th two days later."""
    later = opened("2026-11-05T08:00")
    with later.write() as unit:
        prep.prep(unit, Order(DOUGH, 2, portion_g=300.0, place=later.place("Fridge")))
    add(later, "2026-11-09T00:00", ("bun dough", 2))
    add(later, "2026-11-10T12:00", ("bun dough", 1))

    assert short(later, 1) == ()
    assert [(x.missing, x.taken) for x in short(later, 2)] == [(1, 2)]


def test_what_meals_before_it_eat_is_not_there(kitchen):
    add(kitchen, "2026-11-04T18:30", ("bun dough", 3))
    add(kitchen, "2026-11-05T18:30", ("bun dough", 2))
    (one,) = short(kitchen, 2)

    assert (one.missing, one.taken) == (1, 3)
    assert short(kitchen, 1) == ()


def test_a_meal_that_comes_again_eats_again(kitchen):
    add(kitchen, "2026-11-04T12:00", ("bun dough", 2), rule="FREQ=DAILY")
    add(kitchen, "2026-11-06T18:30", ("bun dough", 1))
    (one,) = short(kitchen, 2)

    assert (one.missing, one.taken) == (1, 4)


def test_what_would_be_past_by_then_is_not_told_as_eaten(kitchen):
    """The four boxes end on Sun 8 Nov: on the 20th none would be there anyway."""
    add(kitchen, "2026-11-04T18:30", ("bun dough", 3))
    add(kitchen, "2026-11-20T18:30", ("bun dough", 2))

    assert [(x.missing, x.taken) for x in short(kitchen, 2)] == [(2, 0)]


@pytest.mark.usefixtures("kitchen")
def test_what_ends_first_is_eaten_first(opened):
    """Four boxes end on 8 Nov, two made on the 5th on the 10th: those are left."""
    later = opened("2026-11-05T08:00")
    with later.write() as unit:
        prep.prep(unit, Order(DOUGH, 2, portion_g=300.0, place=later.place("Fridge")))
    add(later, "2026-11-06T18:30", ("bun dough", 4))
    add(later, "2026-11-09T18:30", ("bun dough", 3))

    assert short(later, 1) == ()
    assert [(x.missing, x.taken) for x in short(later, 2)] == [(1, 0)]


def test_a_big_box_is_as_many_portions_as_it_weighs(opened):
    session = opened("2026-11-03T08:00")
    dough = Food(
        "bun dough", "yeast-dough-raw", ("wheat",), house_days=6, portion_g=100
    )
    setup.add_food(session, dough)
    with session.write() as unit:
        prep.prep(unit, Order(dough, 1, portion_g=500.0, place=session.place("Fridge")))
    add(session, "2026-11-05T18:30", ("bun dough", 6))

    assert [x.missing for x in short(session, 1)] == [1]


@pytest.mark.parametrize(
    ("draft", "words"),
    [
        (Draft(), "when it is eaten"),
        (Draft(at=at("2026-11-05T18:30")), "what is eaten"),
        (Draft(at=at("2026-11-03T08:00"), items=(Item("bun dough"),)), "is over"),
        (Draft(at=at("2036-12-01T08:00"), items=(Item("bun dough"),)), "10 years"),
    ],
)
def test_a_meal_that_cannot_be_added_says_why(kitchen, draft, words):
    with kitchen.write() as unit, pytest.raises(InputError, match=words):
        add_meal(unit, draft)


@pytest.mark.parametrize(
    ("more", "words"),
    [
        ({"spread": 2.0}, "needs eaters"),
        ({"name": "7"}, "taken for a number"),
        ({"name": "a\x1b[2J"}, "is not a name"),
        ({"rule": "FREQ=WEEKLY;BYDAY=TU"}, "begin on Tue 10 Nov 2026"),
        ({"rule": "FREQ=DAILY;UNTIL=20261101"}, "no day of the next"),
    ],
)
def test_odd_options_of_a_meal_are_refused(kitchen, more, words):
    with pytest.raises(InputError, match=words):
        add(kitchen, "2026-11-05T18:30", ("bun dough",), **more)


def test_a_food_that_the_kitchen_lacks_is_refused_with_the_nearest(kitchen):
    with pytest.raises(UnknownThingError, match="did you mean bun dough"):
        add(kitchen, "2026-11-05T18:30", ("bun dogh",))


def test_a_hour_alone_keeps_the_day_and_what_is_not_named_stays(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough", 2), eaters=4, rule="FREQ=WEEKLY")
    with kitchen.write() as unit:
        clock = datetime(2026, 1, 1, 19).time()
        changed = change_meal(unit, "1", Draft(clock=clock)).meal

    assert changed.begins == datetime(2026, 11, 5, 19)
    assert (changed.eaters, changed.rule) == (4, "FREQ=WEEKLY")
    assert changed.items == (Item("bun dough", 2),)


def test_under_another_rule_it_begins_on_the_next_day_of_that_rule(opened, kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough", 2), rule="FREQ=WEEKLY")
    later = opened("2026-11-10T20:00")  # a Tuesday, after half past six
    with later.write() as unit:
        changed = change_meal(unit, "1", Draft(rule="FREQ=WEEKLY;BYDAY=TU")).meal

    assert changed.begins == datetime(2026, 11, 17, 18, 30)


def test_a_meal_that_is_over_is_not_changed_into_another_past_one(opened, kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough", 2))
    later = opened("2026-11-10T20:00")
    with later.write() as unit, pytest.raises(InputError, match="would be over"):
        change_meal(unit, "1", Draft(eaters=3))


def test_one_day_is_skipped_and_the_others_stay(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough",), rule="FREQ=WEEKLY")
    with kitchen.write() as unit:
        skip_meal(unit, "1", date(2026, 11, 12))
    with kitchen.read() as unit:
        ahead = meals.agenda(unit, timedelta(days=20)).ahead

    assert [one.on.day for _, one in ahead] == [5, 19]


@pytest.mark.parametrize(
    ("day", "words"),
    [
        (date(2026, 11, 6), "it comes on Thu 5 Nov 2026, Thu 12 Nov 2026"),
        (date(2026, 10, 29), "is not on"),
        (date(2026, 11, 19), "already"),
    ],
)
def test_only_a_day_to_come_of_that_meal_is_skipped(kitchen, day, words):
    add(kitchen, "2026-11-05T18:30", ("bun dough",), rule="FREQ=WEEKLY")
    with kitchen.write() as unit:
        skip_meal(unit, "1", date(2026, 11, 19))
    with (
        kitchen.write() as unit,
        pytest.raises((InputError, RefusedError), match=words),
    ):
        skip_meal(unit, "1", day)


def test_a_meal_that_happens_once_is_removed_rather_than_skipped(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough",))
    with kitchen.write() as unit, pytest.raises(RefusedError, match="meal remove 1"):
        skip_meal(unit, "1", date(2026, 11, 5))


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        ("", ""),
        ("FREQ=DAILY", "every day"),
        ("FREQ=DAILY;INTERVAL=3", "every 3 days"),
        ("FREQ=WEEKLY", "every week on Thu"),
        ("FREQ=WEEKLY;INTERVAL=2;BYDAY=TH,TU", "every 2 weeks on Tue and Thu"),
        (
            "FREQ=WEEKLY;BYDAY=MO,TU,TH;COUNT=4",
            "every week on Mon, Tue and Thu, 4 times",
        ),
        ("FREQ=MONTHLY", "every month on day 5"),
        ("FREQ=MONTHLY;BYDAY=1TH", "every month on the first Thu"),
        ("FREQ=MONTHLY;BYDAY=-1TH", "every month on the last Thu"),
        ("FREQ=MONTHLY;BYMONTHDAY=-1,5", "every month on the last day and day 5"),
        ("FREQ=MONTHLY;BYMONTHDAY=-3", "every month on day 3 from the end"),
        ("FREQ=MONTHLY;BYMONTHDAY=13;BYDAY=FR", "every month on day 13 if Fri"),
        ("FREQ=YEARLY", "every year on 5 Nov"),
        ("FREQ=YEARLY;INTERVAL=2;COUNT=1", "every 2 years on 5 Nov, once"),
        ("FREQ=WEEKLY;UNTIL=20261224", "every week on Thu until Thu 24 Dec 2026"),
        (
            "FREQ=WEEKLY;UNTIL=20261225T045959Z",
            "every week on Thu until Thu 24 Dec 2026",
        ),
        (
            "FREQ=YEARLY;BYYEARDAY=100",
            "by the rule FREQ=YEARLY;BYYEARDAY=100",
        ),
        (
            "FREQ=WEEKLY;BYDAY=TU,TH;BYSETPOS=1",
            "by the rule FREQ=WEEKLY;BYDAY=TU,TH;BYSETPOS=1",
        ),
        ("FREQ=DAILY;BYMONTH=1", "by the rule FREQ=DAILY;BYMONTH=1"),
    ],
)
def test_how_often_is_said_in_words(rule, words):
    assert say_repeats(meal("2026-11-05T18:30", rule)) == words


def test_the_last_day_is_written_in_utc_and_is_inclusive():
    """The end of 24 Dec in New York is 04:59:59 of the 25th in UTC."""
    text = until_text(date(2026, 12, 24), zone_of("America/New_York"))

    assert text == "UNTIL=20261225T045959Z"


def test_a_kitchen_with_meals_is_rebuilt_as_it_was(kitchen):
    add(kitchen, "2026-11-05T18:30", ("bun dough",))

    with kitchen.write() as unit:
        assert transfer.rebuild(unit)
