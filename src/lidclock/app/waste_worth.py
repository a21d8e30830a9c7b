"""What a container is worth when it is filled: portions, and money where known."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction
from math import isfinite

from lidclock.app.planning import choices_of
from lidclock.app.recipe_book import written
from lidclock.app.session import Unit
from lidclock.domain.containers import Container, Inventory
from lidclock.domain.fold import corrected
from lidclock.domain.phrases import told_of, with_commas
from lidclock.domain.planning import CHOICES_SUBJECT
from lidclock.domain.sentences import sentence
from lidclock.errors import LidclockError
from lidclock.plan.amounts import MONEY_STEPS, PORTION_STEPS, Amount, tenths
from lidclock.plan.lots import portions_in
from lidclock.plan.recipe import Recipe
from lidclock.plan.scale import cost
from lidclock.store.recipes import Recipes

FOOD, KITCHEN, UNKNOWN = "its own worth", "the kitchen's usual worth", "not known"


@dataclass(frozen=True, slots=True)
class RecipeCost:
    """What filling from a recipe costs: of a gram, or of a portion where that is all.

    `problem` says why neither is known.
    """

    of_gram: Fraction | None = None
    of_portion: Fraction | None = None
    currency: str = ""
    problem: str = ""


class Worths:
    """Portions and money of containers; `sources` says for each food where from.

    A food's own worth of a portion comes first, then the recipe version by which its
    batch was made, then the kitchen's usual worth, if the kitchen ever chose one: the
    figure that proposals fall back on is nobody's. `money` is the currency's word;
    `problems` say why a recipe gives none.
    """

    def __init__(self, unit: Unit) -> None:
        self.sources: dict[str, dict[str, None]] = {}
        self.problems: dict[str, None] = {}
        self._unit = unit
        self._choices = choices_of(unit)
        self.money = self._choices.money
        standing = corrected(unit.ledger.of([CHOICES_SUBJECT]))
        self._is_chosen = any("worth" in x.body.get("choices", {}) for x in standing)
        self._recipes: dict[str, RecipeCost] = {}

    def value(self, inventory: Inventory, container: Container) -> Amount:
        """Its portions and what they are worth, without its mass."""
        food = inventory.food_of(container)
        mass = tenths(container.filled_g)
        mass_g = None if mass is None else container.filled_g
        count = portions_in(mass_g, food.portion_g)
        batch = inventory.batches.get(container.batch or "")
        recipe = str(batch.recipe) if batch is not None else ""
        money, source = self._priced(container.food, mass_g, count, recipe)
        self.sources.setdefault(container.food.casefold(), {})[source] = None
        portions = count * PORTION_STEPS
        if money is None:
            return Amount(portions=portions, unpriced=portions)
        return Amount(portions=portions, money=round(money * MONEY_STEPS))

    def _priced(
        self, food: str, mass_g: float | None, count: int, recipe: str
    ) -> tuple[Fraction | None, str]:
        own = self._choices.food(food).worth
        if own is not None and isfinite(own):
            return _exact(own) * count, FOOD
        if recipe:
            money = self._by_recipe(recipe, mass_g, count)
            if money is not None:
                return money, recipe
        if self._is_chosen and isfinite(self._choices.worth):
            return _exact(self._choices.worth) * count, KITCHEN
        return None, UNKNOWN

    def _by_recipe(
        self, recipe: str, mass_g: float | None, count: int
    ) -> Fraction | None:
        known = self._recipes.get(recipe)
        if known is None:
            known = self._recipes[recipe] = self._read(recipe)
            if known.problem:
                self.problems[told_of(recipe, known.problem)] = None
        if known.of_gram is not None and mass_g is not None:
            return known.of_gram * _exact(mass_g)
        return None if known.of_portion is None else known.of_portion * count

    def _read(self, said: str) -> RecipeCost:
        """The costs of `NAME, version N`, if it has all its prices in our money."""
        name, _, number = said.rpartition(", version ")
        store = Recipes(self._unit.connection, self._unit.session.kitchen.id)
        kept = next((x for x in store.versions(name) if str(x.version) == number), None)
        if kept is None or not kept.text:
            return RecipeCost(problem=sentence("the recipe is not kept here"))
        try:
            asked = written(kept.text, is_toml=kept.is_toml)
        except LidclockError:
            return RecipeCost(problem=sentence("the recipe cannot be read any more"))
        found = recipe_cost(asked.recipe)
        if found.problem:
            return found
        if asked.currency and self.money and asked.currency != self.money:
            return RecipeCost(
                problem=sentence(
                    "its prices are in {theirs}, not in {ours}",
                    theirs=asked.currency,
                    ours=self.money,
                )
            )
        self.money = self.money or asked.currency
        return found


def recipe_cost(recipe: Recipe) -> RecipeCost:
    """What a gram, and a portion, of what a recipe fills costs, by its inputs' prices.

    Losses make it dearer: all that was bought is paid by what is filled.
    """
    costs = [cost(one, one.parts) for one in recipe.inputs]
    if all(one is None for one in costs):
        return RecipeCost(problem=sentence("the recipe has no prices"))
    unpriced = [one.name for one in recipe.inputs if one.price is None]
    if unpriced:
        names = with_commas(unpriced)
        return RecipeCost(problem=sentence("no price of {names}", names=names))
    whole = sum((one for one in costs if one is not None), Fraction(0))
    if recipe.makes is None:
        return RecipeCost(of_gram=whole / recipe.parts / (1 - recipe.loss))
    count, portion_g = recipe.makes.count, recipe.makes.portion_g
    of_gram = whole / (count * portion_g) if portion_g is not None else None
    return RecipeCost(of_gram=of_gram, of_portion=whole / count)


def _exact(number: float) -> Fraction:
    """The number as it was typed: 0.1 is a tenth."""
    return Fraction(str(number))
