"""Mean kinetic temperature: the formula of USP chapter 1160, and its label.

The chapter prints the formula and its constants (seen), no worked value; the definition
itself is the check: at this temperature the mean rate runs.
"""

from __future__ import annotations

import math

import numpy as np
import pytest
from scipy.optimize import brentq

from lidclock.kinetics.mean_kinetic import (
    LABEL,
    USP_RATIO_K,
    mean_kinetic_temperature,
)


def test_the_energy_of_the_pharmacopoeia_is_ten_thousand_kelvin():
    assert pytest.approx(10_000, rel=1e-9) == USP_RATIO_K


def test_one_temperature_is_its_own_mean():
    assert mean_kinetic_temperature([5.0, 5.0]) == pytest.approx(5.0, abs=1e-9)


def test_at_the_mean_the_mean_rate_runs():
    temps, hours = np.array([3.0, 25.0, 8.0]), np.array([480.0, 4.0, 20.0])

    def rate(temp_c):
        return np.exp(-USP_RATIO_K / (temp_c + 273.15) + 36)

    mean = (rate(temps) * hours).sum() / hours.sum()
    truth = brentq(lambda temp_c: rate(temp_c) - mean, 3, 25, xtol=1e-12)

    assert mean_kinetic_temperature(temps, hours) == pytest.approx(truth, abs=1e-9)


def test_warm_hours_weigh_more_than_in_the_plain_mean():
    assert mean_kinetic_temperature([4, 20], [23, 1]) > (23 * 4 + 20) / 24


def test_a_huge_energy_does_not_underflow():
    found = mean_kinetic_temperature([0.0, 10.0], ratio_k=1e7)

    assert found == pytest.approx(10.0, abs=0.01)


def test_it_says_that_it_is_no_criterion():
    assert "Not a safety criterion" in LABEL


@pytest.mark.parametrize(
    ("temps", "weights"),
    [
        ([], None),
        ([math.nan], None),
        ([-300.0], None),
        ([5.0, 6.0], [1.0]),
        ([5.0, 6.0], [0.0, 0.0]),
        ([5.0, 6.0], [1.0, -1.0]),
    ],
)
def test_what_means_nothing_is_refused(temps, weights):
    with pytest.raises(ValueError, match=r"need|must"):
        mean_kinetic_temperature(temps, weights)
