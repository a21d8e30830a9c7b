"""What to expect by how many came, worked out by hand."""

from __future__ import annotations

import pytest

from lidclock.plan.headcount import Errors, HeadCount, errors, head_count


def test_mean_and_spread_are_those_of_a_sample() -> None:
    """(106 + 118 + 112 + 112)/4 = 112; squares 36 + 36, over 3: sd is root 24."""
    count = head_count([106, 118, 112, 112])

    assert count == HeadCount(112, pytest.approx(24**0.5), 4)


def test_digits_are_kept_where_numbers_are_large() -> None:
    """NIST, Statistical Reference Datasets, NumAcc1 (from memory, unverified):
    10000001, 10000003, 10000002 have the mean 10000002 and the standard deviation 1.
    """
    assert head_count([10000001, 10000003, 10000002]) == HeadCount(10000002, 1, 3)


def test_one_time_has_no_spread_and_none_has_nothing() -> None:
    assert head_count([108]) == HeadCount(108, None, 1)
    assert head_count([]) is None


def test_errors_stand_beside_those_of_the_same_as_last_time() -> None:
    """Came 108, 116, 115; expected ?, 110, 112: off by 6 and 3, last time by 8 and 1.

    The first has no last time, so what was expected of it counts for nothing.
    """
    assert errors([108, 116, 115], [None, 110, 112]) == Errors(4.5, 4.5, 2)
    assert errors([108, 116, 115], [500, 110, 112]) == Errors(4.5, 4.5, 2)


def test_what_nobody_expected_is_in_neither_average() -> None:
    assert errors([108, 116, 115], [None, None, 112]) == Errors(3, 1, 1)
    assert errors([108, 116], [110, None]) is None
    assert errors([108], [110]) is None
