"""A cabinet without power against freezers that people measured.

data/power_cut_traces.json names the source of each. Nothing is fitted: heat let in and
walls are the figures that `heat/outage.py` ships. Where the model misses, the miss is
written down with its size.
"""

import json
from pathlib import Path

import pytest

from lidclock.heat.outage import (
    FREEZER_START_C,
    ICE,
    UA_NEW_W_K,
    UA_OLD_W_K,
    Cabinet,
    Contents,
)

_FILE = Path(__file__).parent / "data" / "power_cut_traces.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))["cases"]}
US_GALLON_L = 3.785


def freezer(case, mass_kg, ua_w_k, **more):
    return Cabinet(mass_kg, ua_w_k, room_c=case["inputs"]["room_c"], **more)


def mass_that_fits(case, ua_w_k):
    """The mass for which the first measured point is met: it is not published."""
    (hours, temp_c), _ = case["expected"]
    low, high = 0.0, 500.0
    for _ in range(60):
        middle = (low + high) / 2
        found = freezer(case, middle, ua_w_k).hours_to(temp_c, case["inputs"]["from_c"])
        low, high = (middle, high) if found < hours else (low, middle)
    return low


def test_an_empty_freezer_warms_up_within_the_band():
    """Walls alone: 2.2 h by the old cabinet, 3.7 h by the new; measured 3.5 h."""
    case = CASES["OUT-2"]
    ((measured_h, temp_c),) = case["expected"]
    early, late = (
        freezer(case, 0.0, ua).hours_to(temp_c, case["inputs"]["from_c"])
        for ua in (UA_OLD_W_K, UA_NEW_W_K)
    )

    assert early < measured_h < late


@pytest.mark.parametrize("ua_w_k", [UA_NEW_W_K, UA_OLD_W_K])
def test_a_loaded_freezer_slows_down_more_than_the_model_knows(ua_w_k):
    """A miss on the early side: 2 h at the second point, 27 %.

    With whatever mass meets the first point, 3.5 h, the second one comes at 5.5 h and
    was measured at 7.5 h: air and packs outside warm first, the food behind them later.
    """
    case = CASES["OUT-1"]
    _, (measured_h, temp_c) = case["expected"]
    mass_kg = mass_that_fits(case, ua_w_k)
    found = freezer(case, mass_kg, ua_w_k).hours_to(temp_c, case["inputs"]["from_c"])

    assert 20 < mass_kg < 50
    assert found - measured_h == pytest.approx(-2.0, abs=0.1)


def test_a_freezer_older_than_the_band_warms_up_sooner_than_it():
    """A miss on the late side: 2.3 h of 8 h, or 29 %; the start is assumed.

    45 kg of ice from -18 °C begins to melt after 10.3 h even in the old cabinet. A
    freezer of the 1970s lets in more heat than 2.0 W/K; the band is of newer ones. So
    the model may warn too late, and whoever shows it must say that it is no all-clear.
    """
    case = CASES["OUT-3"]
    ((measured_h, _),) = case["expected"]
    mass_kg = case["inputs"]["ice_us_gal"] * US_GALLON_L
    cabinet = freezer(case, mass_kg, UA_OLD_W_K, contents=ICE)
    found = cabinet.hours_to(-0.01, FREEZER_START_C)

    assert found - measured_h == pytest.approx(2.3, abs=0.1)


def test_the_heat_of_frozen_beef_is_that_of_another_formula():
    case = CASES["ENTH-1"]
    facts = case["inputs"]
    beef = Contents(
        facts["water"], 0.4 * facts["protein"], facts["solids"], facts["freezing_c"]
    )
    (cold_c, cold), (edge_c, edge), (warm_c, warm) = case["expected"]

    thawing = beef.enthalpy(edge_c) - beef.enthalpy(cold_c)
    warming = beef.enthalpy(warm_c) - beef.enthalpy(edge_c)
    assert thawing == pytest.approx(edge - cold, rel=0.01)
    assert warming == pytest.approx(warm - edge, rel=0.03)
