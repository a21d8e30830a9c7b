"""The square-root law: its integral on straight runs, and its fit to measured rates."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lidclock.kinetics.rates import SquareRoot, piece, square_root_fit

LAW = SquareRoot(0.1, -10.0)


def test_the_rate_is_the_square_above_tmin_and_nothing_below():
    assert LAW.rate([-12, -10, 0, 10]).tolist() == pytest.approx([0, 0, 1, 4])


def test_a_straight_run_has_the_mean_of_the_square():
    """From 1 to 2 in the root: (1 + 2 + 4) / 3."""
    assert LAW.mean_rate(0, 10) == pytest.approx(7 / 3)


def test_a_run_that_crosses_tmin_counts_the_part_above():
    """From -0.5 to 1 in the root: a third of 1 for two thirds of the time."""
    assert LAW.mean_rate(-15, 0) == pytest.approx(2 / 9)
    assert LAW.mean_rate(0, -15) == pytest.approx(2 / 9)


def test_a_run_of_almost_no_length_loses_no_digits():
    assert LAW.mean_rate(5, 5 + 1e-13) == pytest.approx(2.25, rel=1e-12)


def test_a_run_that_stands_still_has_its_rate():
    assert LAW.mean_rate([5, -11], [5, -11]).tolist() == pytest.approx([2.25, 0])


def test_a_piece_says_where_a_run_enters_and_for_which_share():
    cut = piece(np.array([0.0, 5.0, 9.0]), np.array([10.0, 5.0, 9.0]), 2.0, 6.0)

    assert (cut.start[0], cut.end[0], cut.share[0]) == (2.0, 6.0, 0.4)
    assert cut.share.tolist() == [0.4, 1.0, 0.0]


def test_two_points_give_the_law_through_them():
    law = square_root_fit([0, 10], [1.0, 4.0])

    assert (law.b, law.tmin_c) == pytest.approx((0.1, -10.0))


def test_more_points_give_the_least_squares_line_of_the_roots():
    """Roots 1, 3, 2 at 0, 1, 2: slope 0.5, mean 2 at 1, so zero at -3."""
    law = square_root_fit([0, 1, 2], [1.0, 9.0, 4.0])

    assert (law.b, law.tmin_c) == pytest.approx((0.5, -3.0))


@pytest.mark.parametrize(
    ("temps", "rates"),
    [
        ([0], [1.0]),
        ([0, 1], [1.0]),
        ([5, 5], [1.0, 2.0]),
        ([0, 10], [4.0, 1.0]),
        ([0, 10], [-1.0, 1.0]),
        ([0, math.nan], [1.0, 2.0]),
    ],
)
def test_points_without_a_rising_line_are_refused(temps, rates):
    with pytest.raises(ValueError, match=r"need|rates|numbers"):
        square_root_fit(temps, rates)


@pytest.mark.parametrize("b", [0.0, -0.1, 1e-300, math.nan, math.inf])
def test_a_slope_that_is_not_above_zero_is_refused(b):
    with pytest.raises(ValueError, match=r"b\w* must be a number above 0"):
        SquareRoot(b, 0.0)


def test_a_tmin_that_is_no_number_is_refused():
    with pytest.raises(ValueError, match="tmin_c must be a number"):
        SquareRoot(0.1, math.inf)
