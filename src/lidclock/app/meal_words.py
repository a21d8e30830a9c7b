"""Meals in words: what is eaten, when, how often."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from zoneinfo import ZoneInfo

from lidclock.app.meals import Numbered, coming, named
from lidclock.domain.moments import (
    local_date,
    say_day,
    say_near_day,
    zone_of,
)
from lidclock.domain.phrases import told_of, with_and, with_commas
from lidclock.domain.planning import Item, Meal, Occurrence
from lidclock.domain.recurrence import DAILY, MONTHLY, WEEKLY, YEARLY, Rule
from lidclock.domain.rule_text import read_rule
from lidclock.domain.sentences import (
    Figure,
    figure,
    joined,
    sentence,
    sentences,
    typed,
)

_UNITS = (DAILY, WEEKLY, MONTHLY)
_EVERY: dict[str, tuple[str, Callable[[int], str]]] = {
    DAILY: (
        sentence("every day"),
        lambda count: sentences("every {count} day", "every {count} days", count),
    ),
    WEEKLY: (
        sentence("every week"),
        lambda count: sentences("every {count} week", "every {count} weeks", count),
    ),
    MONTHLY: (
        sentence("every month"),
        lambda count: sentences("every {count} month", "every {count} months", count),
    ),
    YEARLY: (
        sentence("every year"),
        lambda count: sentences("every {count} year", "every {count} years", count),
    ),
}
_WEEKDAYS = (
    *(sentence("Mon"), sentence("Tue"), sentence("Wed"), sentence("Thu")),
    *(sentence("Fri"), sentence("Sat"), sentence("Sun")),
)
_MONTHS = (
    *(sentence("Jan"), sentence("Feb"), sentence("Mar"), sentence("Apr")),
    *(sentence("May"), sentence("Jun"), sentence("Jul"), sentence("Aug")),
    *(sentence("Sep"), sentence("Oct"), sentence("Nov"), sentence("Dec")),
)
_NTH: dict[int, Callable[[str], str]] = {
    1: lambda day: sentence("the first {weekday}", weekday=day),
    2: lambda day: sentence("the second {weekday}", weekday=day),
    3: lambda day: sentence("the third {weekday}", weekday=day),
    4: lambda day: sentence("the fourth {weekday}", weekday=day),
    5: lambda day: sentence("the fifth {weekday}", weekday=day),
    -1: lambda day: sentence("the last {weekday}", weekday=day),
    -2: lambda day: sentence("the last but one {weekday}", weekday=day),
}


def say_item(item: Item) -> str:
    """`buns ×2`; one for each eater has no number."""
    if item.portions is None:
        return typed(item.food)
    return joined("{food} ×{count}", food=item.food, count=figure(item.portions))


def say_items(meal: Meal) -> str:
    """`buns ×2, radish`."""
    return with_commas(list(map(say_item, meal.items)))


def say_title(meal: Meal) -> str:
    """Its name, or what is eaten where it has none."""
    return named(meal.name) or say_items(meal)


def say_eaters(meal: Meal) -> str:
    """`for 4`, `for 112 ± 6`; empty where nobody said."""
    if meal.eaters is None:
        return ""
    eaters = figure(meal.eaters)
    if not meal.spread:
        return sentence("for {eaters}", eaters=eaters)
    spread = Figure(f"{meal.spread:g}")
    return sentence("for {eaters} ± {spread}", eaters=eaters, spread=spread)


def say_meal(meal: Meal) -> str:
    """`dinner: buns ×2, radish, for 4`."""
    what = say_items(meal)
    if meal.name:
        what = told_of(named(meal.name), what)
    return with_commas([one for one in (what, say_eaters(meal)) if one])


def say_at(one: Occurrence, now: datetime) -> str:
    """`Thu 5 Nov 18:30`, in the zone of the meal."""
    zone = zone_of(one.meal.zone_name)
    local = one.at.astimezone(zone)
    day = say_near_day(local.date(), local_date(now, zone))
    return joined("{day} {clock}", day=day, clock=f"{local:%H:%M}")


def say_next(meal: Meal, now: datetime) -> str:
    """When it happens next, or that it is over."""
    found = coming(meal, now)
    return say_at(found[0], now) if found else "over"


def meal_lines(known: Numbered, now: datetime) -> list[str]:
    """A meal in a line or two: `meal 1: Thu 5 Nov 18:30, buns ×2, for 4`."""
    meal = known.meal
    lines = [f"meal {known.number}: {say_next(meal, now)}, {say_meal(meal)}"]
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
        return _on_days(_every(rule), whole)
    on = meal.begins.date()
    if rule == Rule(rule.freq, rule.interval, rule.count, rule.until):
        month, day = _MONTHS[on.month - 1], figure(on.day)
        on_day = sentence("{day} {month}", day=day, month=month)
        return sentence("{every} on {days}", every=_every(rule), days=on_day)
    return sentence("by the rule {rule}", rule=meal.rule)


def _every(rule: Rule) -> str:
    once, often = _EVERY[rule.freq]
    return once if rule.interval == 1 else often(rule.interval)


def _on_days(every: str, rule: Rule) -> str:
    """`every week on Tue and Thu`, `every month on day 1 and the last day`."""
    weekdays = _weekdays(rule)
    if not rule.by_monthday:
        if not weekdays:
            return every
        return sentence("{every} on {days}", every=every, days=weekdays)
    days = with_and([_month_day(x) for x in sorted(rule.by_monthday)])
    if not weekdays:
        return sentence("{every} on {days}", every=every, days=days)
    return sentence(
        "{every} on {days} if {weekdays}", every=every, days=days, weekdays=weekdays
    )


def _month_day(number: int) -> str:
    if number > 0:
        return sentence("day {number}", number=figure(number))
    if number == -1:
        return sentence("the last day")
    return sentence("day {number} from the end", number=figure(-number))


def _weekdays(rule: Rule) -> str:
    days = sorted(rule.by_day, key=lambda x: x[1])
    return with_and([_weekday(*one) for one in days])


def _weekday(which: int, weekday: int) -> str:
    name = _WEEKDAYS[weekday]
    if not which:
        return name
    if which in _NTH:
        return _NTH[which](name)
    return sentence("the {which}. {weekday}", which=figure(which), weekday=name)


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
