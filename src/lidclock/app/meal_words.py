"""Meals in words: what is eaten, when, how often."""

from __future__ import annotations

from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from lidclock.app.meals import Numbered, coming
from lidclock.domain.moments import (
    MONTHS,
    WEEKDAYS,
    local_date,
    say_day,
    say_near_day,
    zone_of,
)
from lidclock.domain.planning import Item, Meal, Occurrence
from lidclock.domain.recurrence import DAILY, MONTHLY, WEEKLY, Rule
from lidclock.domain.rule_text import read_rule

_UNITS = {DAILY: "day", WEEKLY: "week", MONTHLY: "month"}
_WHICH = {1: "first", 2: "second", 3: "third", 4: "fourth", 5: "fifth"}
_FROM_END = {-1: "last", -2: "last but one"}


def say_item(item: Item) -> str:
    """`buns ×2`; one for each eater has no number."""
    return item.food if item.portions is None else f"{item.food} ×{item.portions}"


def say_items(meal: Meal) -> str:
    """`buns ×2, radish`."""
    return ", ".join(map(say_item, meal.items))


def say_title(meal: Meal) -> str:
    """Its name, or what is eaten where it has none."""
    return meal.name or say_items(meal)


def say_eaters(meal: Meal) -> str:
    """`for 4`, `for 112 ± 6`; empty where nobody said."""
    if meal.eaters is None:
        return ""
    spread = f" ± {meal.spread:g}" if meal.spread else ""
    return f"for {meal.eaters}{spread}"


def say_at(one: Occurrence, now: datetime) -> str:
    """`Thu 5 Nov 18:30`, in the zone of the meal."""
    zone = zone_of(one.meal.zone_name)
    local = one.at.astimezone(zone)
    return f"{say_near_day(local.date(), local_date(now, zone))} {local:%H:%M}"


def say_next(meal: Meal, now: datetime) -> str:
    """When it happens next, or that it is over."""
    found = coming(meal, now)
    return say_at(found[0], now) if found else "over"


def meal_lines(known: Numbered, now: datetime) -> list[str]:
    """A meal in a line or two: `meal 1: Thu 5 Nov 18:30, buns ×2, for 4`."""
    meal = known.meal
    name = f"{meal.name}: " if meal.name else ""
    what = ", ".join(filter(None, [name + say_items(meal), say_eaters(meal)]))
    lines = [f"meal {known.number}: {say_next(meal, now)}, {what}"]
    return [*lines, say_repeats(meal)] if meal.rule else lines


def say_repeats(meal: Meal) -> str:
    """`every week on Tue and Thu until Thu 24 Dec 2026`; empty for a single meal."""
    if not meal.rule:
        return ""
    return f"{say_cycle(meal)}{_end(read_rule(meal.rule), zone_of(meal.zone_name))}"


def say_cycle(meal: Meal) -> str:
    """`every week on Tue and Thu`, without its end; empty for a single meal."""
    if not meal.rule:
        return ""
    rule = read_rule(meal.rule)
    whole = rule.for_first(meal.begins.date())
    plain = not (whole.by_yearday or whole.by_setpos)
    if rule.freq in _UNITS and plain and not rule.by_month:
        return f"every {_every(rule)}{_days(whole)}"
    on = meal.begins.date()
    if rule == Rule(rule.freq, rule.interval, rule.count, rule.until):
        years = "year" if rule.interval == 1 else f"{rule.interval} years"
        return f"every {years} on {on.day} {MONTHS[on.month - 1]}"
    return f"by the rule {meal.rule}"


def _every(rule: Rule) -> str:
    unit = _UNITS[rule.freq]
    return unit if rule.interval == 1 else f"{rule.interval} {unit}s"


def _days(rule: Rule) -> str:
    """` on Tue and Thu`, ` on the last Fri`, ` on day 1 and the last day`."""
    if rule.by_monthday:
        days = f" on {_joined([_month_day(x) for x in sorted(rule.by_monthday)])}"
        return days + (f" if {_weekdays(rule)}" if rule.by_day else "")
    return f" on {_weekdays(rule)}" if rule.by_day else ""


def _month_day(number: int) -> str:
    if number > 0:
        return f"day {number}"
    return "the last day" if number == -1 else f"day {-number} from the end"


def _weekdays(rule: Rule) -> str:
    return _joined([_weekday(*one) for one in sorted(rule.by_day, key=lambda x: x[1])])


def _weekday(which: int, weekday: int) -> str:
    if not which:
        return WEEKDAYS[weekday]
    place = _WHICH.get(which) or _FROM_END.get(which) or f"{which}."
    return f"the {place} {WEEKDAYS[weekday]}"


def _joined(words: list[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), words[-1]]))


def _end(rule: Rule, zone: ZoneInfo) -> str:
    if rule.count is not None:
        return f", {rule.count} times" if rule.count > 1 else ", once"
    if rule.until is None:
        return ""
    return f" until {say_day(last_day(rule.until, zone))}"


def last_day(until: datetime, zone: ZoneInfo) -> date:
    """The local day on which a rule may fall for the last time."""
    return until.date() if until.tzinfo is None else until.astimezone(zone).date()


def until_text(day: date, zone: ZoneInfo) -> str:
    """`UNTIL=...` for a rule that may fall on local `day` for the last time.

    RFC 5545, 3.3.10: in UTC where the first time has a zone.
    """
    local = datetime(day.year, day.month, day.day, 23, 59, 59, tzinfo=zone)
    return f"UNTIL={local.astimezone(UTC):%Y%m%dT%H%M%SZ}"
