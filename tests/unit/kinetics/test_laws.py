"""The other rate laws: shape, ends, and what is refused."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lidclock.kinetics.arrhenius import (
    Exponential,
    energy_of_ratio,
    q10,
    rate_ratio,
)
from lidclock.kinetics.cardinal import Cardinal
from lidclock.kinetics.extended import ExtendedSquareRoot
from lidclock.kinetics.gauss import gauss_mean
from lidclock.kinetics.held import HOLD_UNTIL_C, Held
from lidclock.kinetics.rates import SquareRoot
from lidclock.kinetics.steps import Steps, from_generation_times

CARDINAL = Cardinal(2.0, 5.0, 37.0, 45.0)
EXTENDED = ExtendedSquareRoot(0.03, 2.0, 0.3, 48.0)
STEPS = Steps((0.0, 5.0, 10.0, math.inf), (0.1, 0.3, 0.7))


@pytest.mark.parametrize("law", [CARDINAL, EXTENDED])
def test_nothing_grows_at_or_beyond_the_ends(law):
    beyond = [law.tmin_c - 1, law.tmin_c, law.tmax_c, law.tmax_c + 1]

    assert law.rate(beyond).tolist() == [0, 0, 0, 0]


def test_the_cardinal_law_has_its_rate_at_the_optimum_and_is_level_there():
    near = CARDINAL.rate([37.0 - 1e-4, 37.0, 37.0 + 1e-4])

    assert near[1] == pytest.approx(2.0, rel=1e-14)
    assert abs(near[2] - near[0]) < 1e-9


def test_the_cardinal_law_by_hand():
    """u = 20, w = 40, p = 32: 400 x 20 / (32 x (32 x 24 - 16 x 20)) = 8000 / 14336."""
    assert CARDINAL.rate(25.0) == pytest.approx(2.0 * 8000 / 14336)


def test_the_extended_law_by_hand():
    root = 0.03 * 28 * (1 - math.exp(0.3 * (30 - 48)))

    assert EXTENDED.rate(30.0) == pytest.approx(root**2)


def test_the_optimum_of_the_extended_law_is_its_highest_rate():
    temps = np.linspace(2, 48, 100_001)
    best = temps[np.argmax(EXTENDED.rate(temps))]

    assert EXTENDED.optimum_c == pytest.approx(best, abs=1e-3)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Cardinal(0, 5, 37, 45),
        lambda: Cardinal(1, 37, 5, 45),
        lambda: Cardinal(1, 5, 25, 45),
        lambda: Cardinal(1, 5, 20, 45),
        lambda: Cardinal(1, 5, math.nan, 45),
        lambda: ExtendedSquareRoot(0.03, 2, 0, 48),
        lambda: ExtendedSquareRoot(0.03, 48, 0.3, 2),
        lambda: ExtendedSquareRoot(0.03, 2, 0.3, math.inf),
        lambda: Exponential(1.0, -1.0),
    ],
)
def test_parameters_that_mean_nothing_are_refused(make):
    with pytest.raises(ValueError, match=r"must"):
        make()


def test_gauss_is_exact_for_a_polynomial_of_degree_nine():
    mean = gauss_mean(lambda x: x**9, np.array([0.0]), np.array([2.0]))

    assert mean[0] == pytest.approx(2**10 / 10 / 2, rel=1e-14)


def test_held_gives_no_credit_for_heat_up_to_135_fahrenheit():
    held = Held(CARDINAL)

    assert pytest.approx((135 - 32) / 1.8, abs=0.03) == HOLD_UNTIL_C
    assert held.rate([30, 37, 44, 57.2, 57.3]).tolist() == pytest.approx(
        [float(CARDINAL.rate(30)), 2, 2, 2, 0]
    )


def test_held_over_a_run_adds_its_parts():
    """From 27 to 67: to the optimum, held for 20.2 degrees, nothing above."""
    below = float(CARDINAL.mean_rate(27, 37)) * 10
    expected = (below + 2.0 * 20.2) / 40

    assert Held(CARDINAL).mean_rate([27.0], [67.0])[0] == pytest.approx(expected)


@pytest.mark.parametrize("temp_c", [10.0, 37.0, 50.0, 57.2, 60.0])
def test_held_standing_still_has_its_rate(temp_c):
    held = Held(CARDINAL)

    found = held.mean_rate([temp_c], [temp_c])[0]

    assert found == pytest.approx(float(held.rate(temp_c)), rel=1e-14)


def test_held_changes_nothing_of_a_law_without_an_optimum():
    law = SquareRoot(0.02, -4.0)

    assert Held(law).mean_rate([40.0], [70.0]) == law.mean_rate([40.0], [70.0])
    assert (Held(law).tmin_c, Held(law).tmax_c) == (-4.0, math.inf)


def test_a_printed_band_holds_its_upper_edge():
    found = STEPS.rate([-1, 0, 2, 5, 5.001, 10, 99])

    assert found.tolist() == [0, 0.1, 0.1, 0.1, 0.3, 0.3, 0.7]


def test_a_run_through_bands_counts_its_time_in_each():
    """From -5 to 15: a quarter of the time in each band, and a quarter below."""
    assert STEPS.mean_rate([-5.0, 15.0], [15.0, -5.0]).tolist() == pytest.approx(
        [(0.1 + 0.3 + 0.7) / 4] * 2
    )


def test_a_band_table_knows_where_growth_begins_and_is_quickest():
    assert (STEPS.tmin_c, STEPS.optimum_c, STEPS.tmax_c) == (0.0, 10.0, math.inf)


def test_generation_times_are_read_to_the_quicker_side():
    law = from_generation_times([0, 5, 10], [100, 20, 40], 12)
    per_hour = law.rate([1, 5, 6, 10, 11]) / math.log(2)

    assert per_hour.tolist() == pytest.approx([1 / 20, 1 / 20, 1 / 20, 1 / 20, 1 / 40])
    assert law.rate([-0.1, 12.1]).tolist() == [0, 0]


@pytest.mark.parametrize(
    "make",
    [
        lambda: Steps((0.0,), ()),
        lambda: Steps((0.0, 0.0), (1.0,)),
        lambda: Steps((-math.inf, 0.0), (1.0,)),
        lambda: Steps((0.0, 1.0), (-1.0,)),
        lambda: Steps((0.0, 1.0), (math.inf,)),
        lambda: from_generation_times([0, 5], [10], 5),
        lambda: from_generation_times([0, 5], [10, 0], 5),
    ],
)
def test_a_table_that_means_nothing_is_refused(make):
    with pytest.raises(ValueError, match=r"need|must"):
        make()


def test_a_straight_run_of_an_exponential_has_its_closed_mean():
    """From e to e²: (e² - e) / 1."""
    law = Exponential(1.0, 0.5)

    assert law.mean_rate([2.0], [4.0])[0] == pytest.approx(math.e**2 - math.e)
    assert law.mean_rate([2.0], [2.0])[0] == pytest.approx(math.e)


def test_ratio_q10_and_energy_are_inverse_to_each_other():
    energy = energy_of_ratio(2.0, 30, 40)

    assert rate_ratio(energy, 30, 40) == pytest.approx(2.0)
    assert q10(4.0, 0, 20) == pytest.approx(2.0)


@pytest.mark.parametrize(
    "call",
    [
        lambda: q10(2.0, 5, 5),
        lambda: q10(0.0, 5, 15),
        lambda: energy_of_ratio(2.0, 5, 5),
        lambda: rate_ratio(50.0, -300, 5),
        lambda: rate_ratio(math.nan, 0, 5),
    ],
)
def test_a_ratio_that_means_nothing_is_refused(call):
    with pytest.raises(ValueError, match=r"two different|above|must be a number"):
        call()
