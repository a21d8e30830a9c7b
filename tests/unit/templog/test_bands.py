"""Pieces of time between limits: they cover all of it and agree with samples."""

from itertools import pairwise

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from lidclock.templog.bands import Band, bands
from lidclock.templog.series import Series

HOUR = 3600.0


def series(*points, interval=None):
    times, temps = zip(*points, strict=True) if points else ((), ())
    return Series(np.array(times, float) * HOUR, np.array(temps, float), interval)


def hours(found):
    return [(one.began / HOUR, one.ended / HOUR, one.temp_c) for one in found]


def test_a_straight_rise_is_cut_where_it_crosses_the_limit():
    """From 4 to 10 °C in an hour, and back: 5 °C is crossed after 10 minutes."""
    warm = series((0, 4), (1, 10), (2, 10), (3, 4))

    found = hours(bands(warm, 0, 3 * HOUR, [5.0]))

    assert found == [
        (0, pytest.approx(1 / 6), 5.0),
        (pytest.approx(1 / 6), pytest.approx(2 + 5 / 6), 10.0),
        (pytest.approx(2 + 5 / 6), 3, 5.0),
    ]


def test_exactly_at_the_limit_is_not_above_it():
    assert hours(bands(series((0, 5), (1, 5)), 0, HOUR, [5.0])) == [(0, 1, 5.0)]


def test_before_the_first_reading_and_in_gaps_nobody_measured():
    log = series((1, 4), (2, 4), (3, 4), (9, 4), (10, 4))

    assert hours(bands(log, 0, 20 * HOUR, [5.0])) == [
        (0, 1, None),
        (1, 3, 4.0),
        (3, 9, None),
        # The last one holds for three usual intervals.
        (9, 13, 4.0),
        (13, 20, None),
    ]


def test_an_interval_that_was_told_decides_what_a_gap_is():
    log = series((0, 4), (6, 4), interval=2 * HOUR)

    assert hours(bands(log, 0, 6 * HOUR, [5.0])) == [(0, 6, 4.0)]


def test_a_single_reading_holds_for_no_time():
    assert hours(bands(series((1, 6.5)), 0, 2 * HOUR, [5.0])) == [(0, 2, None)]


def test_no_time_has_no_pieces():
    assert bands(series((0, 4), (1, 4)), HOUR, HOUR, [5.0]) == []


TEMPS = st.floats(-30, 70).map(lambda one: round(one, 2))


@given(
    st.lists(st.tuples(st.integers(0, 400), TEMPS), min_size=2, max_size=30,
             unique_by=lambda one: one[0]),
    st.lists(TEMPS, min_size=1, max_size=4),
    st.integers(-20, 420),
    st.integers(1, 300),
)  # fmt: skip
def test_the_pieces_cover_the_time_and_agree_with_dense_samples(
    points, limits, began, length
):
    points.sort()
    log = Series(
        np.array([at * 60.0 for at, _ in points]), np.array([c for _, c in points])
    )
    start, end = began * 60.0, (began + length) * 60.0

    found = bands(log, start, end, limits)

    assert (found[0].began, found[-1].ended) == (start, end)
    for one, after in pairwise(found):
        assert one.ended == after.began
    assert all(one.began < one.ended for one in found)
    for piece in found:
        _agrees(piece, log, limits)


def _agrees(piece: Band, log: Series, limits):
    """Inside a piece every sample is above the same limits as its temperature."""
    inside = np.linspace(piece.began, piece.ended, 13)[1:-1]
    gaps = [(a, b) for a, b in log.gaps()]
    for at in inside:
        is_measured = log.times[0] <= at <= log.times[-1] + log.longest_s and not any(
            a < at < b for a, b in gaps
        )
        assert bool(is_measured) is (piece.temp_c is not None)
        if piece.temp_c is None:
            continue
        sample = float(np.interp(at, log.times, log.temps_c))
        for limit in limits:
            if abs(sample - limit) > 1e-6:
                assert (sample > limit) is (piece.temp_c > limit)
