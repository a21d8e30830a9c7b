"""Lag and ceiling: the closed form of Baranyi and Roberts, and its sharp relative."""

from __future__ import annotations

import math

import pytest

from lidclock.kinetics.primary import growth_ln, three_phase_ln


def test_without_lag_and_ceiling_growth_is_the_exposure():
    assert growth_ln([0.0, 0.5, 900.0]).tolist() == [0.0, 0.5, 900.0]


def test_a_lag_costs_at_most_itself():
    """ln(1 + e^-2 (e^5 - 1)) = ln(1 + e^3 - e^-2)."""
    expected = math.log(1 + math.exp(3) - math.exp(-2))

    assert growth_ln(5.0, 2.0) == pytest.approx(expected, rel=1e-14)
    assert growth_ln(60.0, 2.0) == pytest.approx(58.0, abs=1e-12)


def test_a_ceiling_is_never_passed():
    """At half way to the ceiling in numbers: 1 / (1/e^A + 1/e^R - 1/e^(A+R))."""
    found = growth_ln([3.0, 10.0, 1e6], 0.0, 4.0)
    expected = -math.log(math.exp(-3) + math.exp(-4) - math.exp(-7))

    assert found[0] == pytest.approx(expected, rel=1e-13)
    assert found[1] < 4.0
    assert found[2] == 4.0


def test_a_tiny_exposure_keeps_its_digits():
    assert growth_ln(1e-12, 3.0) == pytest.approx(1e-12 * math.exp(-3), rel=1e-9)


def test_a_huge_exposure_overflows_nowhere():
    assert growth_ln([499.0, 501.0, 1e14], 2.0).tolist() == pytest.approx(
        [497.0, 499.0, 1e14 - 2]
    )
    assert growth_ln([499.0, 501.0, 1e14], 2.0, 600.0).tolist() == pytest.approx(
        [497.0, 499.0, 600.0]
    )


def test_no_room_is_no_growth():
    assert growth_ln([0.0, 3.0], 0.0, 0.0).tolist() == [0.0, 0.0]


@pytest.mark.parametrize(
    ("exposure", "h0", "room"),
    [
        (-1.0, 0.0, 1.0),
        (math.nan, 0.0, 1.0),
        (1.0, -1.0, 1.0),
        (1.0, math.inf, 1.0),
        (1.0, 0.0, -1.0),
        (1.0, 0.0, math.nan),
    ],
)
def test_what_means_nothing_is_refused(exposure, h0, room):
    with pytest.raises(ValueError, match="below 0"):
        growth_ln(exposure, h0, room)


def test_three_phases_have_sharp_corners():
    assert three_phase_ln([1.0, 2.0, 5.0, 30.0], 2.0, 14.0).tolist() == [0, 0, 3, 14]
