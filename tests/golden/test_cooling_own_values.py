"""Golden: our own evaluations of Newton's law of cooling, kept to notice change.

Nothing here is evidence from outside; the formula of NEWT-2 was seen in its source, the
figures were computed.
"""

import json
import math
from pathlib import Path

import numpy as np
import pytest
from scipy.optimize import brentq

from lidclock.kinetics.cooling import (
    forecast,
    needed_rate_per_h,
    settling_h,
    two_point_rate,
)
from lidclock.kinetics.parameters import celsius

_FILE = Path(__file__).parent / "data" / "cooling_own_values.json"
CASES = {one["id"]: one for one in json.loads(_FILE.read_text("utf-8"))["cases"]}
START_C, MEDIUM_C = 57.2, 3.0


def pan(rate_per_h, hours):
    """A pan that follows Newton's law, read at these hours."""
    return MEDIUM_C + (START_C - MEDIUM_C) * np.exp(-rate_per_h * np.asarray(hours))


def test_newton_s_law_reaches_the_stages_when_it_did():
    case = CASES["NEWT-1"]
    hours = np.linspace(0, 1, 7)
    rate = case["inputs"]["k_per_h"]
    found = {
        target: forecast(
            hours,
            pan(rate, hours),
            target_c=target,
            medium_c=MEDIUM_C,
            settle_h=0,
            medium_spread_c=0,
        ).mid_h
        for target in (21.1, 5.0)
    }

    assert found[21.1] == pytest.approx(case["expected"]["t_21.1_h"], rel=1e-3)
    assert found[5.0] == pytest.approx(case["expected"]["t_5_h"], rel=1e-3)
    assert pan(rate, [1])[0] == pytest.approx(case["expected"]["T_1h"], rel=1e-3)


def test_the_two_point_rates_of_the_food_code_s_stages():
    case = CASES["NEWT-2"]
    hot, warm, cold = map(celsius, case["inputs"]["T"])
    medium = celsius(case["inputs"]["Tdf"])
    found = {
        "stage1": two_point_rate(hot, warm, 2, medium),
        "stage2": two_point_rate(warm, cold, 4, medium),
        "overall": two_point_rate(hot, cold, 6, medium),
    }

    assert found == pytest.approx(case["expected"], abs=1e-3)


def test_the_rates_that_meet_the_stages_in_a_place_at_3_degrees():
    case = CASES["NEWT-3"]
    found = {
        "stage1": needed_rate_per_h(START_C, 21.1, 2, MEDIUM_C),
        "overall": needed_rate_per_h(START_C, 5.0, 6, MEDIUM_C),
    }

    assert found == pytest.approx(case["expected"], abs=1e-3)


def slab_middle(case, hours):
    """The middle of an infinite slab, by the exact series of 60 terms."""
    given = case["inputs"]
    half = given["d"] / 2
    biot = given["h"] * half / given["k"]
    roots = np.array(
        [
            brentq(
                lambda z: z * math.tan(z) - biot,
                n * math.pi + 1e-9,
                (n + 0.5) * math.pi - 1e-9,
            )
            for n in range(60)
        ]
    )
    weights = 4 * np.sin(roots) / (2 * roots + np.sin(2 * roots))
    fourier = np.asarray(hours) * 3600 * given["k"] / given["rho_cp"] / half**2
    terms = weights * np.exp(-np.outer(fourier, roots**2))
    return MEDIUM_C + (START_C - MEDIUM_C) * terms.sum(axis=1)


def _mid(case, start, end):
    hours = np.linspace(start, end, 7)
    temps = slab_middle(case, hours)
    found = forecast(hours, temps, target_c=21.1, medium_c=MEDIUM_C, settle_h=0)
    return found.mid_h


def test_the_first_half_hour_of_a_slab_misleads_and_the_next_hour_does_not():
    case = CASES["NEWT-LAG"]
    truth = brentq(lambda hour: slab_middle(case, [hour])[0] - 21.1, 1, 20)
    expected = case["expected"]

    assert truth == pytest.approx(expected["true_t21_h"], rel=0.03)
    assert _mid(case, 0, 0.5) == pytest.approx(expected["fit_0_0.5h"], rel=0.03)
    assert _mid(case, 0.5, 1.5) == pytest.approx(expected["fit_0.5_1.5h"], rel=0.03)


def test_without_its_settling_time_the_band_of_a_slab_holds_the_truth():
    case = CASES["NEWT-LAG"]
    hours = np.linspace(0, 1.5, 19)
    truth = brentq(lambda hour: slab_middle(case, [hour])[0] - 21.1, 1, 20)
    found = forecast(
        hours,
        slab_middle(case, hours),
        target_c=21.1,
        medium_c=MEDIUM_C,
        settle_h=settling_h(case["inputs"]["d"]),
    )

    assert found.low_h < truth < found.high_h
