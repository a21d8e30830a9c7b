"""Scaling: from a count and a portion to the mass of every input, and its cost."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import ceil, floor

from lidclock.plan.recipe import Input, Recipe


@dataclass(frozen=True, slots=True)
class Scaled:
    """A recipe at a size; masses in grams, exact, in the order of its inputs.

    `needed_g` is the least mix that fills every portion. `mix_g` is what is mixed.
    `made_g` is what should be there to fill. `factor` is against the recipe as written;
    None where that is in percentages alone.
    """

    recipe: Recipe
    count: int
    portion_g: Fraction | None
    loss: Fraction
    needed_g: Fraction
    mix_g: Fraction
    made_g: Fraction | None
    factor: Fraction | None

    @property
    def masses_g(self) -> tuple[Fraction, ...]:
        """What to weigh of each input."""
        each = self.mix_g / self.recipe.parts
        return tuple(one.parts * each for one in self.recipe.inputs)


def scale(
    recipe: Recipe,
    count: int,
    portion_g: Fraction | None = None,
    *,
    loss: Fraction | None = None,
    to_whole_grams: bool = False,
) -> Scaled:
    """The recipe for `count` portions of `portion_g` grams.

    A loss divides: the mix is count x portion / (1 - loss). Adding the share instead
    would leave the last container short. Where the recipe says what it makes, every
    input is multiplied by (new count x portion) / (old count x portion), the rule of
    two factors that cooks' textbooks give; a portion then defaults to the recipe's.

    With `to_whole_grams` the mix is rounded up to a whole gram before it is divided
    among the inputs, so that they add up to a mass that a scale can show; a recipe that
    says what it makes keeps its factor in full.

    ValueError for what cannot be: no portions, a loss of one, a loss on top of what the
    recipe makes, and a portion where it knows none, or none where it is needed.
    """
    share = recipe.loss if loss is None else loss
    if count < 1 or (portion_g is not None and portion_g <= 0) or not 0 <= share < 1:
        raise ValueError(f"cannot make {count} x {portion_g} g with a loss of {share}")
    if recipe.makes is not None:
        return _multiplied(recipe, count, portion_g, share)
    if portion_g is None:
        raise ValueError(f"{recipe.name} does not say what it makes: give a portion")
    needed = count * portion_g / (1 - share)
    mix = Fraction(ceil(needed)) if to_whole_grams else needed
    factor = mix / recipe.parts if recipe.is_weighed else None
    made = mix * (1 - share)
    return Scaled(recipe, count, portion_g, share, needed, mix, made, factor)


def _multiplied(
    recipe: Recipe, count: int, portion_g: Fraction | None, loss: Fraction
) -> Scaled:
    makes = recipe.makes
    assert makes is not None  # the caller looked
    if loss:
        raise ValueError(f"{recipe.name} says what it makes: its loss is in that")
    portion = makes.portion_g if portion_g is None else portion_g
    factor = Fraction(count, makes.count)
    if portion is not None:
        if makes.portion_g is None:
            raise ValueError(f"{recipe.name} does not say how large its portions are")
        factor *= portion / makes.portion_g
    mix = recipe.parts * factor
    made = None if portion is None else count * portion
    return Scaled(recipe, count, portion, loss, mix, mix, made, factor)


def multiply(
    recipe: Recipe, factor: Fraction, *, loss: Fraction | None = None
) -> Scaled:
    """The recipe as it is written, so many times; nothing is rounded.

    What comes of it is divided evenly over the whole portions that are in it, or is one
    portion where the recipe does not say what it makes.

    ValueError for no factor, and for a recipe in percentages alone: it has no size.
    """
    share = recipe.loss if loss is None else loss
    if factor <= 0 or not recipe.is_weighed or not 0 <= share < 1:
        raise ValueError(f"cannot make {recipe.name} {factor} times")
    mix, makes = recipe.parts * factor, recipe.makes
    if makes is None:
        made = mix * (1 - share)
        return Scaled(recipe, 1, made, share, mix, mix, made, factor)
    count = max(1, floor(makes.count * factor))
    if makes.portion_g is None:
        return Scaled(recipe, count, None, share, mix, mix, None, factor)
    made = makes.count * makes.portion_g * factor
    return Scaled(recipe, count, made / count, share, mix, mix, made, factor)


def to_buy_g(one: Input, mass_g: Fraction) -> Fraction:
    """What to buy so that `mass_g` remains after trimming: mass / yield."""
    return mass_g / one.usable


def cost(one: Input, mass_g: Fraction) -> Fraction | None:
    """What `mass_g` of an input costs, by what has to be bought for it.

    None where nobody gave a price. The trimmed weight would be too cheap: peel is paid.
    """
    if one.price is None:
        return None
    return to_buy_g(one, mass_g) / one.price.grams * one.price.money


def usable_price(one: Input) -> Fraction | None:
    """The price of as much usable as the price is per: price / yield."""
    return None if one.price is None else one.price.money / one.usable
