"""Recipes over generated inputs: linear, exact, and the same when done again."""

from dataclasses import replace
from fractions import Fraction
from math import ceil

from hypothesis import given
from hypothesis import strategies as st

from lidclock.plan.recipe import Input, Makes, Recipe
from lidclock.plan.scale import cost, scale, to_buy_g
from lidclock.plan.split import split_whole
from lidclock.plan.units import (
    MASS_UNITS,
    decimal_text,
    nearest,
    read_amount,
    read_number,
)

# In whole milligrams and hundredths of a percent, each one draw.
masses = st.integers(10, 5_000_000).map(lambda milligrams: Fraction(milligrams, 1000))
counts = st.integers(1, 500)
losses = st.integers(0, 9000).map(lambda share: Fraction(share, 10_000))
all_parts = st.lists(masses, min_size=1, max_size=12)
what_it_makes = st.none() | st.builds(Makes, counts, masses)
weights = st.lists(masses, min_size=1, max_size=30)


@st.composite
def recipes(draw):
    parts = draw(all_parts)
    inputs = tuple(Input(f"input {n}", one) for n, one in enumerate(parts))
    base = draw(st.sets(st.sampled_from([one.name for one in inputs])))
    makes = draw(what_it_makes)
    loss = Fraction(0) if makes else draw(losses)
    return Recipe("generated", inputs, tuple(sorted(base)), loss=loss, makes=makes)


def rewritten(recipe, scaled):
    """The recipe as a cook would write it down at its new size."""
    inputs = tuple(
        replace(one, parts=mass)
        for one, mass in zip(recipe.inputs, scaled.masses_g, strict=True)
    )
    makes = recipe.makes and Makes(scaled.count, scaled.portion_g)
    return replace(recipe, inputs=inputs, makes=makes)


@given(recipes(), counts, masses, st.integers(2, 9))
def test_scaling_is_linear(recipe, count, portion, times):
    once = scale(recipe, count, portion).masses_g
    more = scale(recipe, count * times, portion).masses_g
    larger = scale(recipe, count, portion * times).masses_g

    assert more == larger == tuple(mass * times for mass in once)


@given(recipes(), counts, masses)
def test_scaling_what_was_scaled_changes_nothing(recipe, count, portion):
    scaled = scale(recipe, count, portion)

    again = scale(rewritten(recipe, scaled), count, portion)

    assert again.masses_g == scaled.masses_g
    assert again.factor == 1


@given(recipes(), counts, masses, counts, masses)
def test_the_way_to_a_size_does_not_matter(recipe, count, portion, other, size):
    directly = scale(recipe, count, portion)

    between = rewritten(recipe, scale(recipe, other, size))

    assert scale(between, count, portion).masses_g == directly.masses_g


@given(recipes(), counts, masses, st.booleans())
def test_inputs_add_up_to_the_mix_and_keep_their_proportions(
    recipe, count, portion, to_whole_grams
):
    scaled = scale(recipe, count, portion, to_whole_grams=to_whole_grams)

    assert sum(scaled.masses_g) == scaled.mix_g >= scaled.needed_g
    for one, mass in zip(recipe.inputs, scaled.masses_g, strict=True):
        assert mass * recipe.parts == one.parts * scaled.mix_g


@given(recipes(), counts, masses)
def test_a_whole_mix_is_less_than_a_gram_too_much(recipe, count, portion):
    scaled = scale(recipe, count, portion, to_whole_grams=True)

    if recipe.makes is None:
        assert scaled.mix_g == ceil(scaled.needed_g)
    else:
        assert scaled.mix_g == scaled.needed_g


@given(recipes(), counts, masses, losses)
def test_what_is_left_after_the_loss_fills_every_portion(recipe, count, portion, loss):
    bare = replace(recipe, makes=None)

    scaled = scale(bare, count, portion, loss=loss)

    assert scaled.mix_g * (1 - loss) == count * portion == scaled.made_g


@given(recipes(), counts, masses, losses, losses)
def test_more_loss_never_means_less_mix(recipe, count, portion, loss, other):
    bare = replace(recipe, makes=None)
    low, high = sorted((loss, other))

    mixes = [scale(bare, count, portion, loss=x).mix_g for x in (low, high)]

    assert mixes == sorted(mixes)


@given(recipes())
def test_percentages_add_up(recipe):
    percentages = [recipe.percent(one) for one in recipe.inputs]
    of_base = [recipe.percent(one) for one in recipe.inputs if one.name in recipe.base]

    assert sum(percentages) == recipe.percent_total
    assert sum(of_base or percentages) == 100


@given(st.integers(0, 1_000_000), weights)
def test_a_split_adds_up_and_is_nowhere_a_gram_off(total, sizes):
    shares = split_whole(total, sizes)

    assert sum(shares) == total
    for share, size in zip(shares, sizes, strict=True):
        assert abs(share - total * size / sum(sizes)) < 1


@given(st.integers(0, 100_000), st.integers(1, 200))
def test_equal_containers_differ_by_a_gram_at_most(total, count):
    shares = split_whole(total, [Fraction(1)] * count)

    assert max(shares) - min(shares) <= 1
    assert list(shares) == sorted(shares, reverse=True)


@given(st.sampled_from(sorted(MASS_UNITS)), st.decimals("0.001", "9999", places=6))
def test_units_there_and_back_are_exact(unit, number):
    grams = read_amount(f"{number:f} {unit}").grams(None)

    assert grams / MASS_UNITS[unit] == Fraction(number)
    assert read_amount(f"{grams / MASS_UNITS[unit]} {unit}").grams(None) == grams


@given(st.fractions(-1_000_000, 1_000_000))
def test_decimals_are_near_and_exact_where_they_end(value):
    shown = Fraction(decimal_text(value))

    assert abs(shown - value) <= Fraction(1, 2 * 10**12)
    ends = 10**12 % value.denominator == 0
    assert (shown == value) == ends


@given(st.decimals("0", "99999", places=9))
def test_a_written_number_is_read_as_it_is(number):
    assert read_number(f"{number:f}") == Fraction(number)


@given(masses, masses)
def test_rounding_is_by_half_a_step_at_most(value, step):
    found = nearest(value, step)

    assert abs(found - value) <= step / 2
    assert found % step == 0


@given(masses, st.decimals("0.05", "1", places=3).map(Fraction))
def test_what_is_bought_is_what_is_used_over_its_yield(mass, usable):
    one = Input("greens", mass, usable)

    assert to_buy_g(one, mass) * usable == mass
    assert cost(one, mass) is None
