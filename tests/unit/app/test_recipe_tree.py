"""What is in an input is in the recipe: allergens down the tree, unknown ones too."""

from fractions import Fraction

from lidclock.app.recipe_tree import Tree
from lidclock.plan.recipe import Input, Recipe


def recipe(name, **inputs):
    """A recipe of equal parts; allergens by input."""
    parts = tuple(
        Input(one.replace("_", " "), Fraction(1), allergens=allergens)
        for one, allergens in inputs.items()
    )
    return Recipe(name, parts)


def tree(*recipes, **foods):
    return Tree({one.name.casefold(): one for one in recipes}, foods)


def traced(top, *recipes, **foods):
    """The allergens of each input, and those that are known even so."""
    found = tree(top, *recipes, **foods).traced(top)
    return {one.name: (one.allergens, one.known_allergens) for one in found.inputs}


SALAD = recipe("salad", beans=(), dressing=None)


def test_an_input_has_what_its_own_recipe_has():
    """Walk-through of a caterer, step 7: mustard is in the dressing."""
    found = traced(SALAD, recipe("Dressing", oil=(), mustard=("mustard",)))

    assert found["dressing"] == (("mustard",), ("mustard",))
    assert found["beans"] == ((), ())


def test_what_is_unknown_further_down_leaves_the_list_open():
    found = traced(SALAD, recipe("dressing", oil=None, mustard=("mustard",)))

    assert found["dressing"] == (None, ("mustard",))


def test_what_was_written_of_an_input_takes_nothing_away():
    """Step 8: the dressing's supplier changes, and celery seed is in it."""
    salad = recipe("salad", dressing=("mustard",))
    found = traced(salad, recipe("dressing", seed=("celery",)))
    assert found["dressing"][0] == ("mustard", "celery")

    salad = recipe("salad", dressing=())
    assert traced(salad, recipe("dressing", seed=None))["dressing"] == (None, ())


def test_recipes_within_recipes_are_followed_to_the_end():
    dressing = recipe("dressing", stock=None, oil=())
    stock = recipe("stock", celery=("celery",), water=())

    assert traced(SALAD, dressing, stock)["dressing"] == (("celery",), ("celery",))


def test_recipes_that_are_in_each_other_end():
    starter = recipe("starter", old_starter=None, flour=("wheat",))
    old = recipe("old starter", starter=None)

    assert traced(starter, old)["old starter"] == (None, ("wheat",))


def test_an_input_of_the_recipes_own_name_is_another_thing():
    """Beans that go into beans: nobody recorded those, and no recipe does."""
    beans = recipe("beans", beans=None, salt=())

    assert traced(beans)["beans"] == (None, ())
    assert traced(recipe("salad", beans=None), beans)["beans"] == (None, ())


def test_a_food_that_the_kitchen_knows_tells_where_nobody_wrote():
    assert traced(SALAD, dressing=("egg",))["dressing"] == (("egg",), ("egg",))
    assert traced(SALAD, dressing=None)["dressing"] == (None, ())
    written = recipe("salad", dressing=("mustard",))
    assert traced(written, dressing=("egg",))["dressing"][0] == ("mustard",)
