import json

import pytest

from lidclock.domain.foods import Food, food_from, merged_allergens


@pytest.mark.parametrize(
    "facts",
    [
        {"made_by": "factory"},
        {"pack": "jar"},
        {"ph": 14.1},
        {"ph": -0.1},
        {"aw": 1.01},
        {"house_days": 0},
        {"house_days": 367},
    ],
)
def test_an_impossible_fact_is_refused(facts):
    with pytest.raises(ValueError, match="must"):
        Food("soup", "soup-stew", **facts)


@pytest.mark.parametrize("allergens", [None, (), ("milk", "celery")])
def test_a_food_survives_being_written_as_json(allergens):
    food = Food("soup", "soup-stew", allergens, ph=4.6, house_days=3)

    assert food_from(json.loads(json.dumps(food.as_dict()))) == food


def test_allergens_of_several_foods_are_each_named_once():
    assert merged_allergens([("milk",), (), ("egg", "milk")]) == ("milk", "egg")


def test_one_unrecorded_list_makes_all_allergens_unknown():
    assert merged_allergens([("milk",), None]) is None


def test_no_allergens_is_not_the_same_as_unknown_ones():
    assert merged_allergens([(), ()]) == ()
