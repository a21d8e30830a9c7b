"""Meals and choices: round trips, the latest stands, what was taken back is gone."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta

import pytest

from lidclock.domain.events import Event
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    Choices,
    FoodPlan,
    Item,
    Meal,
    Occurrence,
    choices_from,
    meal_from,
    meals_from,
    told_of,
)

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
MEAL = Meal(
    "m1",
    datetime(2026, 11, 5, 18, 30),
    "America/New_York",
    (Item("buns", 2), Item("radish")),
    name="bun dinner",
    rule="FREQ=WEEKLY;BYDAY=TH",
    without=(date(2026, 11, 12),),
    eaters=4,
    spread=1.5,
)


def event(number, subject, body, kind="noted", minutes=None):
    at = NOON + timedelta(minutes=number if minutes is None else minutes)
    return Event(f"e{number}", kind, subject, at, at, "UTC", body=body)


def meal_event(number, meal, **more):
    return event(number, f"{MEAL_SUBJECT}m1", {"meal": meal and meal.as_dict()}, **more)


def void(number, target):
    return event(
        number, f"{MEAL_SUBJECT}m1", {"event": target, "void": True}, "corrected"
    )


def told(number, **choices):
    return event(number, CHOICES_SUBJECT, {"choices": choices})


def test_a_meal_comes_back_from_its_json_as_it_was():
    facts = json.loads(json.dumps(MEAL.as_dict()))

    assert meal_from("m1", facts) == MEAL


def test_a_bare_meal_comes_back_too():
    bare = Meal("m2", datetime(2026, 11, 5, 7, 5), "UTC", (Item("tea"),))

    assert meal_from("m2", json.loads(json.dumps(bare.as_dict()))) == bare


@pytest.mark.parametrize(
    ("item", "eaters", "portions"),
    [
        (Item("buns", 2), 4, 2),
        (Item("buns", 2), None, 2),
        (Item("radish"), 4, 4),
        (Item("radish"), None, 1),
    ],
)
def test_a_food_without_a_number_is_one_for_each_eater(item, eaters, portions):
    assert replace(MEAL, eaters=eaters).portions_of(item) == portions


def test_an_occurrence_is_named_by_its_day_whatever_its_hour():
    day = date(2026, 11, 5)
    keys = {Occurrence(MEAL, NOON + timedelta(hours=h), day).key for h in (0, 3)}

    assert keys == {"m1/2026-11-05"}


def test_what_was_recorded_last_of_a_meal_stands():
    later = replace(MEAL, name="late dinner")
    events = [meal_event(2, later), meal_event(1, MEAL)]

    assert meals_from(events) == [later]
    assert meals_from(reversed(events)) == [later]


def test_a_meal_taken_off_the_list_is_gone():
    assert meals_from([meal_event(1, MEAL), meal_event(2, None)]) == []


def test_a_change_taken_back_leaves_the_meal_before_it():
    events = [
        meal_event(1, MEAL),
        meal_event(2, replace(MEAL, eaters=9)),
        void(3, "e2"),
    ]

    assert meals_from(events) == [MEAL]


def test_a_meal_whose_only_event_was_taken_back_is_gone():
    assert meals_from([meal_event(1, MEAL), void(2, "e1")]) == []


def test_a_removal_taken_back_brings_the_meal_back():
    events = [meal_event(1, MEAL), meal_event(2, None), void(3, "e2")]

    assert meals_from(events) == [MEAL]


def test_an_event_of_another_kind_takes_no_meal_off_the_list():
    stray = event(2, f"{MEAL_SUBJECT}m1", {}, kind="measured")

    assert meals_from([meal_event(1, MEAL), stray]) == [MEAL]


def test_meals_stand_by_when_they_begin():
    early = replace(MEAL, begins=datetime(2026, 11, 4, 7, 0))
    other = event(2, f"{MEAL_SUBJECT}m0", {"meal": early.as_dict()})

    found = meals_from([meal_event(1, MEAL), other])

    assert [one.id for one in found] == ["m0", "m1"]


def test_choices_nobody_made_are_as_they_come():
    assert choices_from([]) == Choices()


def test_choices_come_back_from_their_json_as_they_were():
    choices = Choices(
        card_hours=(time(7, 30), time(17)),
        most_shown=3,
        money="EUR",
        worth=2.5,
        freezing=0.5,
        short=9.0,
        service=0.9,
        cover_days=4,
        use_up_days=(1, 4),
        use_up_at=time(18),
    )
    facts = json.loads(json.dumps(choices.as_dict()))

    assert Choices.told(facts) == choices
    assert choices_from([told(1, **facts)]) == choices


def test_the_latest_choices_stand_and_one_taken_back_is_gone():
    events = [told(1, worth=2.0), told(2, worth=5.0)]
    undone = event(3, CHOICES_SUBJECT, {"event": "e2", "void": True}, "corrected")

    assert choices_from(events).worth == 5.0
    assert choices_from([*events, undone]).worth == 2.0
    assert told_of([*events, undone], CHOICES_SUBJECT, "choices") == {"worth": 2.0}


def test_what_is_told_of_nothing_is_empty():
    assert told_of([told(1, worth=2.0)], f"{FOOD_PLAN_SUBJECT}buns", "plan") == {}


def test_a_food_s_own_cost_goes_before_the_kitchen_s():
    own = event(2, f"{FOOD_PLAN_SUBJECT}bun dough", {"plan": {"worth": 0.0}})
    choices = choices_from([told(1, worth=2.0, freezing=0.5, short=4.0), own])

    assert choices.worth_of("Bun Dough") == 0.0
    assert choices.worth_of("stew") == 2.0
    assert choices.freezing_of("bun dough") == 0.5
    assert choices.short_of("bun dough") == 4.0
    assert Choices().short_of("bun dough") is None


def test_what_was_said_of_a_food_comes_back_as_it_was():
    plan = FoodPlan(3.0, 1.0, 9.0, 8.0, 50.0, "bag", "bread")
    facts = json.loads(json.dumps(plan.as_dict()))
    found = choices_from([event(1, f"{FOOD_PLAN_SUBJECT}buns", {"plan": facts})])

    assert found.food("BUNS") == plan
    assert found.food("other") == FoodPlan()
