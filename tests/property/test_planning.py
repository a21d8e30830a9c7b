"""Whatever a file says of meals and choices is refused, or can be read ever after."""

import json
from datetime import UTC, datetime, timedelta

from hypothesis import given
from hypothesis import strategies as st

from lidclock.app.meal_words import say_eaters, say_items, say_repeats
from lidclock.app.meals import coming, occurrences
from lidclock.domain.events import Event
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    Choices,
    FoodPlan,
    choices_from,
    meal_from,
    meals_from,
)
from lidclock.domain.planning_checks import refuse_bad_planning
from lidclock.errors import InputError

NOON = datetime(2026, 11, 3, 12, tzinfo=UTC)
MEAL = {
    "begins": "2026-11-05T18:30",
    "zone": "America/New_York",
    "items": [["buns", 2], ["radish", None]],
    "name": "dinner",
    "rule": "FREQ=WEEKLY;BYDAY=TH",
    "without": ["2026-11-12"],
    "eaters": 4,
    "spread": 1.5,
}
WORDS = st.sampled_from(
    ["", "UTC", "tub", "07:30", "2026-11-05", "FREQ=DAILY;COUNT=2", "FREQ=YEARLY"]
)
json_values = st.recursive(
    st.none()
    | st.booleans()
    | st.integers()
    | st.floats()
    | st.text(max_size=8)
    | WORDS,
    lambda inner: (
        st.lists(inner, max_size=3)
        | st.dictionaries(st.text(max_size=5), inner, max_size=3)
    ),
    max_leaves=6,
)


def altered(facts):
    """Facts with some parts replaced by any JSON value, and some left out."""
    changes = st.dictionaries(st.sampled_from(sorted(facts)), json_values, max_size=3)
    gone = st.sets(st.sampled_from(sorted(facts)), max_size=1)
    return st.tuples(changes, gone).map(
        lambda x: {key: x[0].get(key, facts[key]) for key in facts if key not in x[1]}
    )


bodies = st.one_of(
    st.tuples(
        st.just(f"{MEAL_SUBJECT}m1"),
        st.fixed_dictionaries({"meal": altered(MEAL) | json_values}) | st.just({}),
    ),
    st.tuples(
        st.just(CHOICES_SUBJECT),
        st.fixed_dictionaries({"choices": altered(Choices().as_dict()) | json_values}),
    ),
    st.tuples(
        st.just(f"{FOOD_PLAN_SUBJECT}buns"),
        st.fixed_dictionaries({"plan": altered(FoodPlan().as_dict()) | json_values}),
    ),
)


@given(st.lists(bodies, max_size=4))
def test_what_passes_the_check_can_be_read_shown_and_written_again(told):
    events = [
        Event(f"e{number}", "noted", subject, NOON, NOON, "UTC", body=body)
        for number, (subject, body) in enumerate(told)
    ]
    try:
        refuse_bad_planning(events)
    except InputError:
        return

    choices = choices_from(x for x in events if not x.subject.startswith(MEAL_SUBJECT))
    meals = meals_from(x for x in events if x.subject.startswith(MEAL_SUBJECT))
    occurrences(meals, NOON, NOON + timedelta(days=400))
    for meal in meals:
        coming(meal, NOON, 2)
        assert say_items(meal)
        assert isinstance(say_repeats(meal) + say_eaters(meal), str)
        assert meal_from(meal.id, json.loads(json.dumps(meal.as_dict()))) == meal
    assert Choices.told(choices.as_dict()) == Choices(
        **{name: getattr(choices, name) for name in choices.as_dict()}
    )
