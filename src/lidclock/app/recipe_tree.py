"""Allergens down the tree: what goes in may be made here, by a recipe of its own."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from lidclock.app.recipe_book import written
from lidclock.app.session import Session
from lidclock.domain.foods import merged_allergens
from lidclock.plan.recipe import Input, Recipe
from lidclock.store.recipes import Recipes

Allergens = tuple[str, ...] | None


@dataclass(frozen=True, slots=True)
class Tree:
    """A kitchen's recipes, and the allergens of its foods, by name in any case."""

    recipes: Mapping[str, Recipe]
    foods: Mapping[str, Allergens]

    def traced(self, recipe: Recipe) -> Recipe:
        """The same recipe, with the allergens of everything that went into its inputs.

        What a recipe of an input names is in it, whatever was written of the input; of
        one with anything not recorded further down, the list is not whole. A food that
        the kitchen knows tells its allergens where neither does.
        """
        return replace(recipe, inputs=tuple(map(self._traced, recipe.inputs)))

    def recipe_of(self, name: str) -> Recipe | None:
        """The kept recipe by which an input of that name is made."""
        return self.recipes.get(name.casefold())

    def _traced(self, one: Input) -> Input:
        below = list(self._below(one.name))
        if not below:
            return replace(one, allergens=self._own(one))
        groups = [one.allergens or (), *map(self._own, below)]
        known = merged_allergens(group or () for group in groups) or ()
        return replace(one, allergens=merged_allergens(groups), traced=known)

    def _own(self, one: Input) -> Allergens:
        if one.allergens is not None:
            return one.allergens
        key = one.name.casefold()
        if key not in self.recipes:
            return self.foods.get(key)
        # What is made by a recipe has the allergens of that one's inputs. Beans in a
        # recipe for beans may be others: those stay unknown.
        is_round = any(inner.name.casefold() == key for inner in self._below(key))
        return None if is_round else ()

    def _below(self, name: str) -> Iterator[Input]:
        """Every input of the recipe of that name, and of theirs; each recipe once."""
        waiting, seen = [name.casefold()], set[str]()
        while waiting:
            key = waiting.pop()
            recipe = self.recipes.get(key)
            if recipe is None or key in seen:
                continue
            seen.add(key)
            yield from recipe.inputs
            waiting += [one.name.casefold() for one in recipe.inputs]


def tree_of(session: Session) -> Tree:
    """The tree of a kitchen as it is now."""
    with session.read() as unit:
        kept = Recipes(unit.connection, session.kitchen.id).all()
        foods = unit.snapshots.foods()
    return Tree(
        {
            one.name.casefold(): written(one.text, is_toml=one.is_toml).recipe
            for one in kept
        },
        {one.name.casefold(): one.allergens for one in foods},
    )
