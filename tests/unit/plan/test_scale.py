"""Recipes scaled by hand-worked sums; what cannot be is refused."""

from dataclasses import replace
from fractions import Fraction

import pytest

from lidclock.plan.recipe import Input, Makes, Price, Recipe, heaviest_first
from lidclock.plan.scale import cost, multiply, scale, to_buy_g, usable_price
from lidclock.plan.split import split_whole

FLOUR, WATER = Input("flour", Fraction(100)), Input("water", Fraction(60))
DOUGH = Recipe("dough", (FLOUR, WATER), ("flour",), is_weighed=False)
SOUP = Recipe(
    "soup",
    (Input("lentils", Fraction(500)), Input("water", Fraction(1500))),
    makes=Makes(6, Fraction(300)),
)


def test_a_loss_divides():
    """4 x 200 = 800; 800 / 0.8 = 1000, of which 100/160 are flour. Not 800 x 1.2."""
    scaled = scale(DOUGH, 4, Fraction(200), loss=Fraction(1, 5))

    assert scaled.mix_g == 1000
    assert scaled.masses_g == (625, 375)
    assert scaled.made_g == 800
    assert scaled.factor is None


def test_the_recipes_own_loss_counts_where_none_is_given():
    lossy = replace(DOUGH, loss=Fraction(1, 5))

    assert scale(lossy, 4, Fraction(200)).mix_g == 1000
    assert scale(lossy, 4, Fraction(200), loss=Fraction(0)).mix_g == 800


def test_a_mix_is_rounded_up_to_a_whole_gram_if_asked():
    """1800 / 0.975 = 1846.15; the inputs then add up to 1847."""
    scaled = scale(DOUGH, 6, Fraction(300), loss=Fraction("0.025"), to_whole_grams=True)

    assert scaled.needed_g == Fraction(1800) / Fraction("0.975")
    assert scaled.mix_g == sum(scaled.masses_g) == 1847


def test_what_the_recipe_makes_is_multiplied():
    """12 x 450 from 6 x 300 is three times as much."""
    scaled = scale(SOUP, 12, Fraction(450), to_whole_grams=True)

    assert scaled.factor == 3
    assert scaled.masses_g == (1500, 4500)
    assert scaled.made_g == 5400


def test_its_own_portion_is_kept_where_none_is_given():
    assert scale(SOUP, 9).masses_g == (750, 2250)


def test_portions_of_no_known_size_are_counted():
    scaled = scale(replace(SOUP, makes=Makes(8)), 18)

    assert scaled.factor == Fraction(9, 4)
    assert scaled.made_g is None


def test_a_recipe_by_mass_alone_is_scaled_to_its_sum():
    scaled = scale(replace(SOUP, makes=None), 4, Fraction(250))

    assert scaled.factor == Fraction(1, 2)
    assert scaled.masses_g == (250, 750)


@pytest.mark.parametrize(
    ("recipe", "count", "portion", "loss"),
    [
        (DOUGH, 0, 100, 0),
        (DOUGH, 1, 0, 0),
        (DOUGH, 1, 100, 1),
        (DOUGH, 1, 100, -1),
        (DOUGH, 1, None, 0),
        (SOUP, 1, 100, Fraction(1, 10)),
        (replace(SOUP, makes=Makes(6)), 1, 100, 0),
    ],
)
def test_what_cannot_be_is_refused(recipe, count, portion, loss):
    size = None if portion is None else Fraction(portion)

    with pytest.raises(ValueError, match=r"cannot make|say|portion"):
        scale(recipe, count, size, loss=Fraction(loss))


def test_two_flours_are_one_base():
    rye = Input("rye", Fraction(25))
    recipe = Recipe(
        "loaf", (Input("wheat", Fraction(75)), rye, WATER), ("wheat", "rye")
    )

    assert recipe.percent(rye) == 25
    assert recipe.percent_total == 160


def test_without_a_base_percentages_are_of_the_whole():
    assert SOUP.percent(SOUP.inputs[0]) == 25
    assert SOUP.percent_total == 100


@pytest.mark.parametrize(
    "changes",
    [
        {"inputs": ()},
        {"inputs": (FLOUR, FLOUR)},
        {"base": ("rye",)},
        {"loss": Fraction(1)},
        {"makes": Makes(1)},
    ],
)
def test_an_impossible_recipe_is_a_programmers_mistake(changes):
    with pytest.raises(ValueError, match="dough"):
        replace(DOUGH, **changes)


def test_an_input_of_nothing_is_a_programmers_mistake():
    with pytest.raises(ValueError, match="above zero"):
        Input("air", Fraction(0))


def test_the_heaviest_comes_first_and_equal_ones_keep_their_order():
    a, b, c = (Input(name, Fraction(n)) for name, n in (("a", 1), ("b", 2), ("c", 1)))

    assert heaviest_first((a, b, c)) == (b, a, c)


def test_what_is_cut_off_is_bought_and_paid():
    """300 g at a yield of 3/4 are 400 g bought; at 2 a kilogram they cost 0.8."""
    price = Price(Fraction(2), Fraction(1000), "1 kg")
    onion = Input("onion", Fraction(1), Fraction(3, 4), price)

    assert to_buy_g(onion, Fraction(300)) == 400
    assert cost(onion, Fraction(300)) == Fraction("0.8")
    assert usable_price(onion) == Fraction(8, 3)


def test_no_price_is_no_cost():
    assert cost(FLOUR, Fraction(300)) is None
    assert usable_price(FLOUR) is None


def test_what_is_left_goes_to_the_largest_fractions():
    """10 g over 1 : 1 : 4 are 1.67, 1.67 and 6.67: the first two of equal ones.

    Over 1 : 2 : 4 they are 1.43, 2.86 and 5.71: the last two.
    """
    weights = [Fraction(1), Fraction(1), Fraction(4)]

    assert split_whole(10, weights) == (2, 2, 6)
    assert split_whole(10, [Fraction(1), Fraction(2), Fraction(4)]) == (1, 3, 6)
    assert split_whole(1847, [Fraction(1)] * 6) == (308, 308, 308, 308, 308, 307)


@pytest.mark.parametrize(
    ("total", "weights"), [(-1, [Fraction(1)]), (5, []), (5, [Fraction(0)])]
)
def test_what_cannot_be_split_is_refused(total, weights):
    with pytest.raises(ValueError, match="cannot split"):
        split_whole(total, weights)


def test_so_many_times_what_is_written_keeps_the_factor_in_full():
    """26910/6475 of 35 x 185 g are 145 whole portions, of 26910/145 g each."""
    salad = replace(SOUP, makes=Makes(35, Fraction(185)))
    factor = Fraction(26910, 6475)
    scaled = multiply(salad, factor)

    assert scaled.masses_g == (500 * factor, 1500 * factor)
    assert scaled.made_g == 26910
    assert (scaled.count, scaled.portion_g) == (145, Fraction(26910, 145))


def test_less_than_a_portion_is_one_and_an_unsaid_size_stays_so():
    assert multiply(SOUP, Fraction(1, 12)).count == 1
    assert multiply(SOUP, Fraction(1, 12)).portion_g == 150
    assert multiply(replace(SOUP, makes=Makes(8)), Fraction(2)).portion_g is None


def test_what_a_recipe_loses_is_lost_of_every_multiple():
    """Twice 2000 g less a tenth."""
    lossy = replace(SOUP, makes=None, loss=Fraction(1, 10))
    scaled = multiply(lossy, Fraction(2))

    assert (scaled.mix_g, scaled.made_g, scaled.count) == (4000, 3600, 1)


@pytest.mark.parametrize(("recipe", "factor"), [(DOUGH, 2), (SOUP, 0), (SOUP, -1)])
def test_percentages_alone_have_no_size_to_multiply(recipe, factor):
    with pytest.raises(ValueError, match="cannot make"):
        multiply(recipe, Fraction(factor))
