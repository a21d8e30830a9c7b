"""Properties of food: what they must be whatever the food."""

import math

import numpy as np
import pytest

from lidclock.errors import GuidanceError
from lidclock.heat.components import PARTS
from lidclock.heat.load import load_foods, read_foods
from lidclock.heat.properties import (
    Composition,
    conductivity_parallel,
    conductivity_series,
    curve_from,
    curve_of_constants,
)

STEW = Composition(0.81, 0.04, 0.06, 0.07, 0.01, 0.01, -1.0)


def test_shares_are_brought_to_one():
    food = Composition(0.80, 0.19, freezing_c=-1.0)

    assert food.water == pytest.approx(0.80 / 0.99)
    assert food.water + food.protein == pytest.approx(1.0)


@pytest.mark.parametrize(
    "parts",
    [(0.7, 0.2), (0.9, 0.2), (-0.1, 1.1), (1.2, -0.2), (math.nan, 0.1)],
)
def test_shares_far_from_one_are_refused(parts):
    with pytest.raises(ValueError, match=r"add up|from 0 to 1"):
        Composition(*parts)


@pytest.mark.parametrize("freezing_c", [0.0, 1.0, -60.0, math.nan])
def test_a_freezing_point_lies_below_zero(freezing_c):
    with pytest.raises(ValueError, match="freezing_c"):
        Composition(1.0, freezing_c=freezing_c)


def test_ice_begins_at_the_freezing_point_and_grows():
    """(0.81 - 0.4 * 0.04) (1 - 1 / 2) at -2 °C."""
    ice = [STEW.ice(temp) for temp in (0, -1, -2, -18)]

    assert ice[:2] == [0, 0]
    assert ice[2] == pytest.approx((0.81 - 0.016) / 2)
    assert ice[2] < ice[3] < 0.81


def test_parts_always_add_up_to_one():
    for temp in (20, -1.5, -18, -40):
        assert sum(STEW.parts(temp).values()) == pytest.approx(1.0)


def test_more_protein_than_water_to_bind_leaves_nothing_to_freeze():
    dry = Composition(0.1, 0.9, freezing_c=-5.0)

    assert dry.ice(-40) == 0


def test_frozen_food_conducts_better_and_side_by_side_better_than_in_series():
    parts = STEW.parts(-18)

    assert STEW.conductivity_w_mk(-18) > 3 * STEW.conductivity_w_mk(1)
    assert conductivity_parallel(parts, -18) > conductivity_series(parts, -18)


def test_the_curve_gives_back_the_temperature():
    curve = curve_from(STEW)
    temps = np.array([-44.0, -18, -1.5, -1.0001, -0.5, 0, 20, 100])
    heats = np.array([curve.heat_at(temp) for temp in temps])

    assert curve.temp_at(heats) == pytest.approx(temps, abs=1e-9)
    assert np.all(np.diff(heats) > 0)


def test_the_curve_adds_up_specific_and_latent_heat():
    """From 10 to 20 °C, and the ice that forms from -2 to -18 °C, by hand."""
    warm = STEW.heat_kj_kg(10, 20)
    frozen = -STEW.heat_kj_kg(-2, -18)
    middle = (STEW.specific_heat_kj_kgk(-2) + STEW.specific_heat_kj_kgk(-18)) / 2

    assert warm == pytest.approx(10 * STEW.specific_heat_kj_kgk(15), rel=1e-3)
    assert frozen == pytest.approx(
        333.6 * (STEW.ice(-18) - STEW.ice(-2)) + 16 * middle, rel=0.05
    )


def test_a_curve_of_constants_holds_the_latent_heat():
    curve = curve_of_constants(
        frozen_j_m3k=2e6,
        unfrozen_j_m3k=2e6,
        frozen_w_mk=1.0,
        unfrozen_w_mk=1.0,
        latent_j_m3=3e8,
        freezing_c=-1.0,
    )

    assert curve.heat_at(-1) - curve.heat_at(-10) == pytest.approx(
        9 * 2e6 + 0.9 * 3e8, rel=1e-4
    )
    assert curve.conductivity_at(-20) == pytest.approx(1.0)


def test_every_food_is_whole_and_names_its_source():
    foods = load_foods()

    assert len(foods) == 14
    for food in foods.values():
        shares = [getattr(food.composition, part) for part in PARTS]
        assert sum(shares) == pytest.approx(1.0)
        assert food.document
        assert food.freezing


@pytest.mark.parametrize(
    "text",
    [
        "not toml",
        "[[food]]\nid = 'x'",
        "[source.s]\ndocument = 'd'\nyear = '1'\nseen = 's'\n[[food]]\nid = 'x'\n"
        "name = 'x'\nsource = 's'\nndb = ''\nwater = 0.5\nprotein = 0\nfat = 0\n"
        "carbohydrate = 0\nfibre = 0\nash = 0\nfreezing_c = -1.0\nfreezing = 'guess'",
    ],
)
def test_a_malformed_file_is_refused(text):
    with pytest.raises(GuidanceError, match=r"foods\.toml"):
        read_foods(text)
