"""What a meal and a choice may say: bounds, and what is wrong in words."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from datetime import time
from typing import Any

from lidclock.domain.events import Event
from lidclock.domain.fold import corrected
from lidclock.domain.moments import checked_year, zone_of
from lidclock.domain.occasions import OCCASION_SUBJECT, read_occasion_body
from lidclock.domain.planning import (
    CHOICES_SUBJECT,
    FOOD_PLAN_SUBJECT,
    MEAL_SUBJECT,
    SHAPES,
    Choices,
    FoodPlan,
    Meal,
    meal_from,
)
from lidclock.domain.recurrence import SEARCH_YEARS, first_fall
from lidclock.domain.rule_text import read_rule
from lidclock.errors import InputError

MOST_PORTIONS = MOST_EATERS = 10_000
MOST_ITEMS, MOST_WITHOUT = 50, 1000
MOST_MONEY = 1_000_000.0
MOST_CARD_HOURS, MOST_SHOWN = 12, 20
LEAST_SERVICE, MOST_SERVICE = 0.5, 0.999
MOST_COVER_DAYS = 60
LONGEST_THAW_H, LONGEST_TEMPER_H, THICKEST_MM = 240.0, 24.0, 1000.0
LONGEST_NAME, LONGEST_MONEY = 200, 8
COSTS = {
    "worth": "a wasted portion",
    "freezing": "freezing a portion",
    "short": "a missing portion",
}
_MEAL_KEYS = frozenset(
    ("begins", "zone", "items", "name", "rule", "without", "eaters", "spread")
)


def checked_meal(meal: Meal) -> Meal:
    """The meal, if every part of it can be right; else an InputError."""
    checked_year(meal.begins)
    if meal.begins.tzinfo is not None:
        raise InputError("a meal begins at a local time, without an offset")
    if meal.begins.second or meal.begins.microsecond:
        raise InputError("a meal begins on a whole minute")
    zone = zone_of(_text("time zone", meal.zone_name, LONGEST_NAME))
    if not 1 <= len(meal.items) <= MOST_ITEMS:
        raise InputError(f"a meal has 1 to {MOST_ITEMS} foods, not {len(meal.items)}")
    for item in meal.items:
        _named("food", item.food)
        checked_whole(f"portions of {item.food}", item.portions, MOST_PORTIONS)
    _no_twins([item.food for item in meal.items])
    _text("name", meal.name, LONGEST_NAME)
    checked_whole("eaters", meal.eaters, MOST_EATERS)
    checked_number("spread", meal.spread, 0.0, float(MOST_EATERS))
    if len(meal.without) > MOST_WITHOUT:
        raise InputError(f"a meal is left out on at most {MOST_WITHOUT} days")
    _text("rule", meal.rule, 1000)
    if meal.rule and first_fall(read_rule(meal.rule), meal.begins, zone) is None:
        raise InputError(
            f"the rule falls on no day of the next {SEARCH_YEARS} years; check it"
        )
    return meal


def _no_twins(names: list[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name.casefold() in seen:
            raise InputError(f"{name!r} stands twice; write it once, with xN portions")
        seen.add(name.casefold())


def _named(what: str, value: Any) -> str:
    text = _text(what, value, LONGEST_NAME)
    if not text.strip():
        raise InputError(f"a {what} needs a name")
    return text


def _text(what: str, value: Any, longest: int) -> str:
    if not isinstance(value, str):
        raise InputError(f"{what} must be text, not {value!r:.40}")
    if len(value) > longest:
        raise InputError(f"{what} is longer than {longest} characters")
    return value


def checked_whole(what: str, value: Any, most: int) -> int | None:
    """A whole number from 1 to `most`, or None; else an InputError."""
    if value is None:
        return None
    if not isinstance(value, int) or isinstance(value, bool) or not 1 <= value <= most:
        raise InputError(f"{what} must lie within 1 and {most:,}, not {value!r:.20}")
    return value


def checked_number(what: str, value: Any, least: float, most: float) -> float | None:
    """A number within the bounds, or None; NaN lies within none."""
    if value is None:
        return None
    is_number = isinstance(value, int | float) and not isinstance(value, bool)
    if not is_number or not least <= value <= most:
        raise InputError(
            f"{what} must lie within {_plain(least)} and {_plain(most)}, "
            f"not {value!r:.20}"
        )
    return float(value)


def _plain(number: float) -> str:
    """`1,000,000`, `0.1`: never with an exponent."""
    return f"{number:,.3f}".rstrip("0").rstrip(".")


def checked_choices(choices: Choices) -> Choices:
    """The kitchen's choices, if each can be right; else an InputError."""
    _hours(choices.card_hours)
    checked_whole("proposals shown", _given(choices.most_shown), MOST_SHOWN)
    _text("money", choices.money, LONGEST_MONEY)
    _costs(choices)
    _given(choices.worth)
    _given(choices.freezing)
    checked_number(
        "service as a share", _given(choices.service), LEAST_SERVICE, MOST_SERVICE
    )
    checked_whole("days to cover", _given(choices.cover_days), MOST_COVER_DAYS)
    _days(choices.use_up_days)
    _hours((choices.use_up_at,))
    return choices


def _costs(told: Choices | FoodPlan) -> None:
    for name, words in COSTS.items():
        checked_number(f"what {words} costs", getattr(told, name), 0.0, MOST_MONEY)


def _given(value: Any) -> Any:
    if value is None:
        raise InputError("a choice of the kitchen cannot be left empty")
    return value


def _hours(hours: Iterable[Any]) -> None:
    found = list(hours)
    if not 1 <= len(found) <= MOST_CARD_HOURS:
        raise InputError(f"give 1 to {MOST_CARD_HOURS} hours, not {len(found)}")
    if any(not isinstance(one, time) or one.tzinfo is not None for one in found):
        raise InputError("an hour is a local time such as 07:30")
    if len(set(found)) != len(found):
        raise InputError("an hour stands twice; name each once")


def _days(days: Iterable[Any]) -> None:
    found = list(days)
    if any(type(one) is not int or not 0 <= one <= 6 for one in found):
        raise InputError("days of the week are 0 (Monday) to 6 (Sunday)")
    if len(set(found)) != len(found):
        raise InputError("a day of the week stands twice; name each once")


def checked_food_plan(plan: FoodPlan) -> FoodPlan:
    """What was said of one food, if it can be right; else an InputError."""
    _costs(plan)
    # Six minutes and a tenth of a millimetre: what is less is a slip.
    checked_number("hours to thaw", plan.thaw_h, 0.1, LONGEST_THAW_H)
    checked_number("hours on the counter", plan.temper_h, 0.1, LONGEST_TEMPER_H)
    checked_number("thickness in mm", plan.thick_mm, 0.1, THICKEST_MM)
    if plan.shape not in SHAPES:
        raise InputError(f"shape must be one of {', '.join(SHAPES)}")
    _text("model", plan.model, LONGEST_NAME)
    return plan


def read_meal_body(meal_id: str, body: Mapping[str, Any]) -> Meal | None:
    """The meal in the body of an event; None for one that was taken off the list."""
    if body.get("meal") is None:
        return None
    facts = _keyed(body["meal"], _MEAL_KEYS, _MEAL_KEYS)
    if not isinstance(facts["items"], list) or not isinstance(facts["without"], list):
        raise InputError("items and days left out must be lists")
    return checked_meal(meal_from(meal_id, facts))


def read_choices_body(body: Mapping[str, Any]) -> Choices:
    """The kitchen's choices in the body of an event."""
    facts = _keyed(body.get("choices"), frozenset(Choices().as_dict()))
    return checked_choices(Choices.told(facts))


def read_food_plan_body(body: Mapping[str, Any]) -> FoodPlan:
    """What was said of a food in the body of an event."""
    facts = _keyed(body.get("plan"), frozenset(FoodPlan.__slots__))
    return checked_food_plan(FoodPlan(**facts))


def _keyed(
    facts: Any, known: frozenset[str], needed: frozenset[str] = frozenset()
) -> Mapping[str, Any]:
    """The object, if it has no other keys than those and all that are needed."""
    if not isinstance(facts, Mapping):
        raise InputError(f"expected an object, not {facts!r:.40}")
    stray = sorted(facts.keys() - known) or sorted(needed - facts.keys())
    if stray:
        is_more = stray[0] in facts
        raise InputError(f"{'unknown key' if is_more else 'lacks'} {stray[0]!r:.40}")
    return facts


def is_planning_subject(subject: str) -> bool:
    """Whether events of that subject say something of a meal, an occasion, a choice."""
    named = (MEAL_SUBJECT, FOOD_PLAN_SUBJECT, OCCASION_SUBJECT)
    is_listed = subject.startswith(named)
    return is_listed or subject == CHOICES_SUBJECT


def refuse_bad_planning(events: Iterable[Event]) -> None:
    """InputError if a meal, occasion or choice that stands could not be read later.

    Corrections may come with other events than those they correct, so all that is
    known about the subjects has to be given.
    """
    ours = [one for one in events if is_planning_subject(one.subject)]
    for event in corrected(ours):
        if event.kind != "noted":
            continue
        try:
            _read(event)
        except InputError as error:
            raise InputError(f"{event.subject:.80}: {error}") from error
        except (TypeError, ValueError, AttributeError, OverflowError) as error:
            raise InputError(
                f"{event.subject:.80} has a body that fails: {error}"
            ) from error


def _read(event: Event) -> None:
    subject = event.subject
    if not isinstance(event.body, Mapping):
        raise InputError("expected an object as its body")
    if subject.startswith(MEAL_SUBJECT):
        read_meal_body(_rest(subject, MEAL_SUBJECT), event.body)
    elif subject == CHOICES_SUBJECT:
        read_choices_body(event.body)
    elif subject.startswith(OCCASION_SUBJECT):
        read_occasion_body(subject, event.body)
    else:
        _rest(subject, FOOD_PLAN_SUBJECT)
        read_food_plan_body(event.body)


def _rest(subject: str, prefix: str) -> str:
    rest = subject.removeprefix(prefix)
    if not rest or len(rest) > LONGEST_NAME:
        raise InputError(
            f"what follows {prefix!r} must have 1 to {LONGEST_NAME} characters"
        )
    return rest
