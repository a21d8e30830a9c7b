"""The kitchen's choices as lines for people, and as data."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta
from typing import TYPE_CHECKING, Any

from lidclock.cli.show import columns, plural
from lidclock.cli.weekly import say_days
from lidclock.domain.moments import say_span

if TYPE_CHECKING:
    from lidclock.domain.planning import Choices, FoodPlan


def choices_lines(choices: Choices, names: Mapping[str, str]) -> list[str]:
    """Every choice with what it means, and what was said of single foods."""
    hours = ", ".join(f"{one:%H:%M}" for one in choices.card_hours)
    rows = [
        ["card hours", hours],
        ["proposals shown", f"at most {choices.most_shown}"],
        ["a portion wasted", say_money(choices.worth, choices)],
        ["a portion frozen", say_money(choices.freezing, choices)],
        ["a portion missing", _missing(choices)],
        ["a making covers", plural(choices.cover_days, "day")],
        ["use up", _use_up(choices)],
    ]
    foods = [
        [names.get(name, name), _food_words(plan)]
        for name, plan in sorted(choices.foods.items())
        if _food_words(plan)
    ]
    return [*columns(rows), *(["", *columns(foods)] if foods and names else [])]


def _missing(choices: Choices) -> str:
    if choices.short is not None:
        return say_money(choices.short, choices)
    share = f"{choices.service * 100:.5g} %"
    return f"not said: what is made should last on {share} of days"


def say_money(amount: float, choices: Choices) -> str:
    """`3.00 EUR`; without the word where the kitchen named no money."""
    return f"{amount:,.2f} {choices.money}".rstrip()


def food_lines(name: str, choices: Choices) -> list[str]:
    """What counts for one food, and what of it is the kitchen's own choice."""
    plan = choices.food(name)
    short = choices.short_of(name)
    thaw, temper = _hours(plan.thaw_h), _hours(plan.temper_h)
    thick = f"{plan.thick_mm:g} mm" if plan.thick_mm else "thickness not said"
    return [
        f"{name}:",
        *columns(
            [
                ["a portion wasted", say_money(choices.worth_of(name), choices)],
                ["a portion frozen", say_money(choices.freezing_of(name), choices)],
                [
                    "a portion missing",
                    "not said" if short is None else say_money(short, choices),
                ],
                ["thaws in a fridge", thaw or "not said"],
                ["on the counter before", temper or "not said"],
                ["kept in", f"{plan.shape}, {thick}"],
                ["model", plan.model or "not said: see `lidclock ready --list`"],
            ],
            indent=2,
        ),
    ]


def _use_up(choices: Choices) -> str:
    if not choices.use_up_days:
        return "never"
    return f"{say_days(choices.use_up_days)} at {choices.use_up_at:%H:%M}"


def _hours(span_h: float | None) -> str:
    """A span of hours in words; nothing where nobody said."""
    return say_span(timedelta(hours=span_h)) if span_h else ""


def _food_words(plan: FoodPlan) -> str:
    """Only what was said of it."""
    costs = [
        f"{word} {amount:,.2f}"
        for word, amount in (
            ("wasted", plan.worth),
            ("frozen", plan.freezing),
            ("missing", plan.short),
        )
        if amount is not None
    ]
    thaw, temper = _hours(plan.thaw_h), _hours(plan.temper_h)
    kept = [
        f"thaws in {thaw}" if thaw else "",
        f"{temper} on the counter before" if temper else "",
        f"{plan.shape} {plan.thick_mm:g} mm" if plan.thick_mm else "",
        f"like {plan.model}" if plan.model else "",
    ]
    return ", ".join(filter(None, [*costs, *kept]))


def choices_json(choices: Choices, names: Mapping[str, str]) -> dict[str, Any]:
    """The choices as JSON-ready data, with what was said of single foods."""
    return {
        **choices.as_dict(),
        "foods": {
            names.get(name, name): plan.as_dict()
            for name, plan in sorted(choices.foods.items())
        },
    }


def food_json(name: str, choices: Choices) -> dict[str, Any]:
    """What counts for one food as JSON-ready data."""
    return {
        "food": name,
        **choices.food(name).as_dict(),
        "counts": {
            "worth": choices.worth_of(name),
            "freezing": choices.freezing_of(name),
            "short": choices.short_of(name),
            "money": choices.money,
        },
    }
