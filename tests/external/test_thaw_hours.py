"""Hours to take food out by, against what authorities say and experiments saw.

USDA FSIS, Big Thaw, 2013 (buyeatlivebetter.org, "Safe thawing practices", text seen):
24 hours in the fridge for each 5 lb. Los Angeles Times, 12 Apr 1999, quoting USDA (seen
as text): the same, and a pound of ground meat needs a full day too. Eastridge and
Bowker, over 200 one-inch strip steaks: data/heat_checks.json, EXP-STEAK. A household
guide, 12 to 14 h for such a steak: EXP-STEAK2.
"""

import json
from pathlib import Path

import pytest

from lidclock.app.takeout_hours import by_weight, thaw_hours
from lidclock.domain.foods import Food
from lidclock.domain.planning import FoodPlan

_FILE = Path(__file__).parent / "data" / "heat_checks.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))["cases"]}
INCH = FoodPlan(thick_mm=1000 * CASES["EXP-STEAK"]["inputs"]["D"], shape="tray")
LB_G = 453.59237


def fridge(category, plan, mass_g=None):
    return thaw_hours(Food("it", category), plan, mass_g, "raw-meat").hours["fridge"]


@pytest.mark.parametrize(("pounds", "hours"), [(5, 24), (10, 48), (15, 72)])
def test_a_day_for_each_five_pounds_is_the_low_end(pounds, hours):
    assert by_weight(pounds * LB_G).low == pytest.approx(hours)
    assert by_weight(pounds * LB_G).high >= hours


def test_a_pound_of_ground_meat_needs_a_full_day():
    """By weight a day; by the model up to 27 h in a bag of 40 mm, 17 h in one of 25."""
    thick = fridge("raw-ground-meat", FoodPlan(thick_mm=40, shape="bag"), LB_G)
    thin = fridge("raw-ground-meat", FoodPlan(thick_mm=25, shape="bag"), LB_G)

    assert fridge("raw-ground-meat", FoodPlan(), LB_G).high == 24
    assert thick.high == pytest.approx(27, abs=1)
    assert thin.high == pytest.approx(17, abs=1)


def test_a_steak_comes_out_before_the_slowest_that_was_seen():
    """18 to 20 h were seen; laid flat it comes out 20.6 h before. As a tub of 560 g,
    whose edges take part, it would come out 18.5 h before: 1.5 h short of the slowest.
    """
    assert CASES["EXP-STEAK"]["expected"]["t"][0] == "18-20 h"
    told = fridge("raw-steaks", INCH)
    tub = fridge("raw-steaks", FoodPlan(thick_mm=INCH.thick_mm, shape="tub"), 560)

    assert told.low < 18
    assert told.high > 20
    assert tub.high == pytest.approx(18.5, abs=0.5)


def test_a_household_guides_steak_is_there_in_time():
    assert CASES["EXP-STEAK2"]["expected"]["t_h"] == "12-14"
    assert fridge("raw-steaks", INCH).low < 14 < fridge("raw-steaks", INCH).high
