"""A kitchen whose card has a proposal of every kind, for whoever looks at its words."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime, timedelta

from lidclock.app import meal_plan, moves, prep
from lidclock.app.recipe_book import add_recipe
from lidclock.app.session import Fact, Session
from lidclock.domain.foods import Food
from lidclock.domain.planning import FOOD_PLAN_SUBJECT, FoodPlan

# Tue 3 Nov 2026, 07:30 in New York.
MORNING = datetime(2026, 11, 3, 12, 30, tzinfo=UTC)
DAY = timedelta(days=1)
STEW = Food("stew", "soup-stew", ())
OLD_STEW = Food("bean ragu", "soup-stew", ())
DOUGH = Food("bun dough", "yeast-dough-raw", ("wheat",), house_days=6)
SAUCE = Food("gravy", "gravy-broth", ())
RICE = Food("rice pudding", "cooked-rice", ("milk",))
SALAD = Food("egg salad", "egg-salad", ("egg",))
SOUP = Food("barley soup", "soup-stew", ())
CURRY = Food("pea curry", "soup-stew", ())
_RECIPE = """
name = "stew"
base = "beans"
[[inputs]]
name = "beans"
percent = 100
allergens = []
[[inputs]]
name = "celery root"
percent = 12.5
"""
# What people typed here: foods, places, the name of a meal, what recipes are made of.
NAMES = (
    *(one.name for one in (STEW, OLD_STEW, DOUGH, SAUCE, RICE, SALAD, SOUP, CURRY)),
    *("Fridge", "Freezer", "Counter", "dinner", "Test kitchen", "beans", "celery root"),
)

SessionAt = Callable[[datetime], Session]


def furnish_card(session_at: SessionAt) -> None:
    """Discard, check, use, use up, take out, freeze, hand on and make, at `MORNING`."""
    _fill(session_at, OLD_STEW, 2, MORNING - 9 * DAY)
    _fill(session_at, SALAD, 5, MORNING - 2 * DAY)
    _fill(session_at, RICE, 1, MORNING - 3 * DAY)
    _fill(session_at, CURRY, 1, MORNING - 3 * DAY)
    _fill(session_at, DOUGH, 3, MORNING - 4 * DAY)
    _fill(session_at, STEW, 2, MORNING - 1 * DAY)
    _fill(session_at, SOUP, 1, MORNING - 2 * DAY, place="")
    _fill(session_at, SAUCE, 2, MORNING - 40 * DAY, place="Freezer")
    _fill(session_at, SOUP, 1, MORNING - 30 * DAY, place="Freezer")
    session = session_at(MORNING)
    with session.write() as unit:
        prep.adopt(unit, SOUP, place=session.place("Fridge"))
        lost = prep.adopt(unit, SAUCE, place=session.place("Fridge"))
        moves.missing(unit, lost.codes[0])
        _plan(unit, DOUGH, temper_h=0.75)
        _plan(unit, STEW, temper_h=3)
        _plan(unit, SAUCE, thaw_h=8)
        _plan(unit, SOUP, thaw_h=30)
    add_recipe(session, _RECIPE, is_toml=True)
    noon, evening = MORNING + timedelta(hours=4), MORNING + timedelta(hours=11)
    wanted = [(STEW, 3), (DOUGH, 1), (SAUCE, 2), (SOUP, 1)]
    meal_plan.put_down(
        session, evening, [(food.name, n) for food, n in wanted], name="dinner"
    )
    meal_plan.put_down(
        session, noon, [(STEW.name, 1), (RICE.name, None)], eaters=4, every="week"
    )


def _fill(
    session_at: SessionAt, food: Food, count: int, made: datetime, place: str = "Fridge"
) -> None:
    session = session_at(made)
    where = session.place(place) if place else None
    order = prep.Order(food, count, portion_g=300, made_at=made, place=where)
    with session.write() as unit:
        prep.prep(unit, order)


def _plan(unit, food: Food, **facts: float) -> None:
    body = {"plan": FoodPlan(**facts).as_dict()}
    unit.record([Fact("noted", FOOD_PLAN_SUBJECT + food.name, body)])
