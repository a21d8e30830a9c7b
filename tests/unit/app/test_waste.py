"""What a portion is worth, whose word counts first, and what stays unknown."""

from datetime import UTC, datetime, timedelta
from fractions import Fraction

import pytest

from lidclock.app import moves, prep, setup
from lidclock.app.prep import Order
from lidclock.app.recipe_book import add_recipe, written
from lidclock.app.session import Fact, Session
from lidclock.app.waste import waste_report
from lidclock.app.waste_worth import recipe_cost
from lidclock.domain.foods import Food
from lidclock.domain.kitchens import Kitchen
from lidclock.domain.planning import Choices, FoodPlan

NOW = datetime(2026, 11, 14, 15, tzinfo=UTC)
STEW = Food("bean stew", "soup-stew", (), portion_g=300.0)
RECIPE = """
name = "bean stew"
currency = "EUR"
loss = "10%"
inputs = [
  { name = "beans", mass = "600 g", price = 3.00, price_per = "1 kg" },
  { name = "onions", mass = "400 g", price = 1.50, price_per = "1 kg", yield = 0.75 },
]
"""


@pytest.fixture
def session(tmp_path):
    setup.init_kitchen(tmp_path / "kitchen.db", Kitchen("", "Test", "UTC"))
    found = Session.open(tmp_path / "kitchen.db", now=NOW)
    yield found
    found.close()


def choose(session, **choices):
    body = {"choices": Choices(**choices).as_dict()}
    with session.write() as unit:
        unit.record([Fact("noted", "plan/kitchen", body)])


def price(session, **plan):
    with session.write() as unit:
        body = {"plan": FoodPlan(**plan).as_dict()}
        unit.record([Fact("noted", "plan/food/bean stew", body)])


def make(session, recipe="", portion_g=620.0):
    """Two boxes of 620 g: two portions of 300 g each."""
    with session.write() as unit:
        order = Order(STEW, 2, portion_g=portion_g, recipe=recipe)
        return prep.prep(unit, order).codes


def made(session):
    report = waste_report(session)
    amount = report.whole.of("made")
    return amount.money, amount.unpriced, report.money


def test_nobody_chose_a_worth_so_none_is_known(session):
    make(session)

    assert made(session) == (0, 40, "")


def test_the_kitchens_usual_worth_of_a_portion(session):
    choose(session, worth=2.35, money="EUR")
    make(session)

    assert made(session) == (940, 0, "EUR")
    assert waste_report(session).sources == {
        "bean stew": ("the kitchen's usual worth",)
    }


def test_a_foods_own_worth_comes_before_recipe_and_kitchen(session):
    add_recipe(session, RECIPE, is_toml=True)
    choose(session, worth=2.35, money="EUR")
    price(session, worth=0.99)
    make(session, "bean stew, version 1")

    assert made(session) == (396, 0, "EUR")


def test_a_recipe_comes_before_the_kitchen_and_pays_for_peel_and_loss(session):
    """1.80 + 0.4 / 0.75 x 1.50 = 2.60 for 1000 g mixed, 900 g filled: 1.7911 a box."""
    add_recipe(session, RECIPE, is_toml=True)
    choose(session, worth=9.0)
    make(session, "bean stew, version 1")

    assert made(session) == (2 * 179, 0, "EUR")


def test_prices_in_another_currency_are_left_out_and_told(session):
    add_recipe(session, RECIPE, is_toml=True)
    choose(session, worth=1.0, money="USD")
    make(session, "bean stew, version 1")

    report = waste_report(session)

    assert (report.whole.of("made").money, report.money) == (400, "USD")
    assert report.problems == (
        "bean stew, version 1: its prices are in EUR, not in USD",
    )


def test_a_recipe_that_is_not_here_is_told(session):
    make(session, "stew of old, version 3")

    assert waste_report(session).problems == (
        "stew of old, version 3: the recipe is not kept here",
    )


def test_the_cost_of_a_gram_and_of_a_portion():
    recipe = written(RECIPE, is_toml=True).recipe

    assert recipe_cost(recipe).of_gram == Fraction(26, 10) / 1000 / Fraction(9, 10)


def test_a_recipe_that_counts_what_it_makes_costs_by_the_piece():
    text = RECIPE.replace('loss = "10%"', "makes = { count = 4 }")

    found = recipe_cost(written(text, is_toml=True).recipe)

    assert (found.of_gram, found.of_portion) == (None, Fraction(26, 40))


def test_a_box_of_part_of_a_gram_s_worth_is_whole_cents_and_adds_up(session):
    """Taken in ten pieces of 62 g, the cents of a box are those it was filled with."""
    choose(session, worth=0.37)
    code = make(session)[0]
    for step in range(10):
        session.now = NOW + timedelta(minutes=step)
        with session.write() as unit:
            moves.take(unit, code, 62.0, anyway=True)

    whole = waste_report(session).whole

    assert (whole.of("eaten").money, whole.closing.money) == (74, 74)
    assert whole.of("eaten").portions == 20


def test_a_batch_that_was_filled_short_says_what_went_into_no_container(session):
    with session.write() as unit:
        prep.prep(unit, Order(STEW, 3, portion_g=300.0, total_g=903.2))

    assert waste_report(session).unfilled == 32
