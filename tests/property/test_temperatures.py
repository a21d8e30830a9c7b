"""Courses over generated readings: bands fill windows, and say what dense looks say."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from itertools import pairwise

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from lidclock.templog.bands import bands
from lidclock.templog.course import Course, course_of, filled_by, worst_of
from lidclock.templog.excursions import excursions
from lidclock.templog.food import food_behind, peaks_behind
from lidclock.templog.gaps import Pace
from lidclock.templog.series import Series, joined, merge, micros, seconds
from lidclock.templog.stats import stats_of, thinned

START = datetime(2026, 11, 2, 8, tzinfo=UTC)
ZERO = seconds(START)
PACE = Pace(300.0)
# Whole and half degrees often hit a threshold exactly, and stand still.
degrees = st.one_of(
    st.integers(-4, 20).map(lambda half: half / 2), st.floats(-30, 90).map(float)
)
minutes = st.integers(0, 240)
thresholds = st.lists(
    st.one_of(st.sampled_from([0.0, 4.4, 5.0, 5.5, 21.0]), degrees), max_size=4
)


def series_of(said):
    times = sorted(said)
    temps = [said[at] for at in times]
    return Series(np.array(times) * 60.0 + ZERO, np.array(temps, dtype=float))


def all_series(most=30):
    """Readings at whole minutes of four hours, with gaps among them."""
    return st.dictionaries(minutes, degrees, max_size=most).map(series_of)


courses = all_series().map(lambda series: course_of(series, PACE))


@st.composite
def whole_courses(draw):
    """Readings so close together that nothing between them is a gap."""
    steps = draw(
        st.lists(st.tuples(st.integers(1, 10), degrees), min_size=2, max_size=30)
    )
    times = np.cumsum([step for step, _ in steps]) * 60.0 + ZERO
    return course_of(Series(times, np.array([temp_c for _, temp_c in steps])), PACE)


windows = st.tuples(st.integers(-20, 280), st.integers(1, 200)).map(
    lambda pair: (
        START + timedelta(minutes=pair[0]),
        START + timedelta(minutes=pair[0] + pair[1]),
    )
)


def inside(band, count=23):
    """Moments strictly inside a band, a little away from its ends."""
    first, last = seconds(band.began), seconds(band.ended)
    margin = min((last - first) / 4, 1e-3)
    return np.linspace(first + margin, last - margin, count)


def same(one, other):
    return np.array_equal(one.times, other.times) and np.array_equal(
        one.temps, other.temps
    )


@given(courses, windows, thresholds)
def test_bands_follow_each_other_and_fill_the_window(course, window, limits):
    found = bands(course, *window, limits)

    assert found[0].began == window[0]
    assert found[-1].ended == window[1]
    for one, later in pairwise(found):
        assert one.ended == later.began
    assert all(one.began < one.ended for one in found)


@given(courses, windows, thresholds)
def test_a_band_compares_with_each_threshold_as_every_moment_in_it_does(
    course, window, limits
):
    for band in bands(course, *window, limits):
        values = course.at(inside(band))
        if band.temp_c is None:
            assert np.isnan(values).all()
            continue
        assert not np.isnan(values).any()
        for limit in limits:
            # Interpolation in floats may miss a threshold by its last digit.
            near = np.abs(values - limit) < 1e-9
            assert ((values > limit) | near).all() == (band.temp_c > limit) or (
                near.all()
            )
            assert ((values >= limit) | near).all() == (band.temp_c >= limit) or (
                near.all()
            )


@given(courses, windows, thresholds)
def test_nothing_in_a_band_is_warmer_than_it_says(course, window, limits):
    for band in bands(course, *window, limits):
        if band.temp_c is not None:
            assert course.at(inside(band)).max() <= band.temp_c + 1e-9


@given(courses, windows, thresholds)
def test_more_thresholds_only_cut_finer(course, window, limits):
    """What is above 5 stays above 5, to the microsecond, however it is cut."""

    def time_above(cuts):
        return sum(
            (
                band.ended - band.began
                for band in bands(course, *window, cuts)
                if band.temp_c is not None and band.temp_c > 5.0
            ),
            timedelta(0),
        )

    finer = time_above([5.0, *limits])

    assert abs(finer - time_above([5.0])) <= timedelta(microseconds=40)


@given(courses, st.sampled_from([0.0, 4.4, 5.0]))
def test_excursions_and_bands_tell_the_same_time_beyond(course, limit):
    """Outside gaps, of which bands say nothing and excursions the worst."""
    window = (START - timedelta(hours=1), START + timedelta(hours=6))
    beyond = sum(
        (
            band.ended - band.began
            for band in bands(course, *window, [limit])
            if band.temp_c is not None and band.temp_c > limit
        ),
        timedelta(0),
    )
    found = excursions(course, limit)
    measured = sum((one.length - one.bridged for one in found), timedelta(0))

    assert abs(beyond - measured) <= timedelta(microseconds=4 * (len(course) + 1))


@given(courses, st.sampled_from([0.0, 4.4, 5.0]))
def test_excursions_agree_with_a_dense_look(course, limit):
    assume(len(course) > 1)
    # A quarter of a second off the whole minutes.
    moments = np.arange(course.times[0] + 0.25, course.times[-1], 7.0)
    values = course.at(moments)
    known = ~np.isnan(values) & (np.abs(values - limit) > 1e-9)
    found = excursions(course, limit)
    is_in = np.zeros(moments.size, dtype=bool)
    for one in found:
        is_in |= (moments >= seconds(one.began)) & (moments <= seconds(one.ended))

    assert (is_in[known] == (values > limit)[known]).all()


@given(whole_courses(), st.sampled_from([0.0, 4.4, 5.0]))
def test_degree_hours_agree_with_a_dense_sum(course, limit):
    assert not course.is_gap.any()
    step = 2.0
    moments = np.arange(course.times[0] + step / 2, course.times[-1], step)
    summed = np.maximum(course.at(moments) - limit, 0).sum() * step / 3600
    exact = sum(one.degree_hours for one in excursions(course, limit))

    assert exact == pytest.approx(summed, rel=1e-3, abs=1e-3)


@given(courses, st.sampled_from([4.4, 60.0]))
def test_below_is_above_turned_over(course, limit):
    """A floor is judged as a ceiling is, with everything negated."""
    floor = excursions(course, limit, is_floor=True)
    mirrored = excursions(course.mirrored(), -limit)

    assert [one.began for one in floor] == [one.began for one in mirrored]
    assert [one.peak_c for one in floor] == [-one.peak_c for one in mirrored]
    assert [one.is_spike for one in floor] == [one.is_spike for one in mirrored]


@given(courses, st.floats(10, 7200))
def test_food_stays_between_the_coldest_and_the_warmest_air(course, lag):
    assume(len(course) > 1)
    food, peaks = food_behind(course, lag), peaks_behind(course, lag)
    lowest, highest = course.temps.min(), course.temps.max()

    assert (food >= lowest - 1e-6).all()
    assert (food <= highest + 1e-6).all()
    assert (peaks >= np.maximum(food[:-1], food[1:]) - 1e-9).all()
    assert (peaks <= highest + 1e-6).all()


@given(courses, st.floats(60, 3600), st.integers(0, 29))
def test_warmer_air_never_makes_cooler_food(course, lag, which):
    assume(len(course) > which + 1)
    temps = course.temps.copy()
    temps[which] += 3
    warmer = Course(course.times, temps, course.is_gap)

    assert (peaks_behind(warmer, lag) >= peaks_behind(course, lag) - 1e-9).all()


@given(all_series(), all_series(), all_series())
def test_merging_is_associative_and_idempotent(one, two, three):
    left = merge(merge(one, two).series, three).series
    right = merge(one, merge(two, three).series).series

    assert same(left, right)
    assert same(merge(left, left).series, left)
    assert same(merge(left, two).series, left)


@given(all_series(), st.randoms())
def test_the_order_of_arrival_does_not_matter(series, random):
    order = [*range(len(series))]
    random.shuffle(order)

    assert same(joined(series.times[order], series.temps[order]).series, series)


@given(all_series(), all_series())
def test_conflicts_are_the_same_instants_whichever_came_first(one, two):
    here, there = merge(one, two), merge(two, one)

    assert [c.at for c in here.conflicts] == [c.at for c in there.conflicts]
    assert np.array_equal(here.series.times, there.series.times)
    if not here.conflicts:
        assert same(here.series, there.series)


@given(all_series(), all_series())
def test_nothing_is_lost_in_a_merge(one, two):
    found = merge(one, two)

    assert len(one) + len(two) == (
        len(found.series) + found.duplicates + len(found.conflicts)
    )
    assert np.isin(one.times, found.series.times).all()
    assert np.isin(two.times, found.series.times).all()


@given(all_series(), all_series())
def test_the_worst_of_two_is_the_warmer_wherever_one_of_them_measured(one, two):
    first, second = course_of(one, PACE), course_of(two, Pace(120.0))
    both = worst_of([first, second])
    # Away from whole minutes, where one may jump in or out.
    moments = np.arange(-300, 260 * 60, 13.0) + ZERO + 0.5
    expected = np.fmax(first.at(moments), second.at(moments))

    assert np.array_equal(np.isnan(both.at(moments)), np.isnan(expected))
    assert np.allclose(both.at(moments), expected, equal_nan=True, atol=1e-6)


@given(all_series(), all_series(), st.integers(0, 300))
def test_what_fills_in_never_speaks_over_what_was_measured(one, two, minute):
    main, other = course_of(one, PACE), course_of(two, Pace(1200.0))
    quiet_from = ZERO + minute * 60
    both = filled_by(main, other, quiet_from=quiet_from)
    moments = np.arange(-300, 260 * 60, 13.0) + ZERO + 0.5
    values = main.at(moments)
    if len(main) and len(other):
        waits = (moments > main.times[-1]) & (moments < quiet_from)
    else:
        waits = np.zeros(moments.size, dtype=bool)
    expected = np.where(np.isnan(values) & ~waits, other.at(moments), values)

    assert np.allclose(both.at(moments), expected, equal_nan=True, atol=1e-6)


@given(all_series(), all_series())
def test_the_order_of_sensors_does_not_matter(one, two):
    first, second = course_of(one, PACE), course_of(two, PACE)
    moments = np.arange(-300, 260 * 60, 13.0) + ZERO + 0.5
    here = worst_of([first, second]).at(moments)
    there = worst_of([second, first]).at(moments)

    assert np.allclose(here, there, equal_nan=True, atol=1e-9)


@given(courses, windows)
def test_a_clipped_course_says_what_the_whole_one_says(course, window):
    first, last = seconds(window[0]), seconds(window[1])
    part = course.clip(first, last)
    moments = np.arange(-1800, 300 * 60, 13.0) + ZERO + 0.5
    expected = course.at(moments)
    expected[(moments < first) | (moments > last)] = np.nan

    assert np.allclose(part.at(moments), expected, equal_nan=True)


@given(courses)
def test_the_mean_lies_between_the_extremes(course):
    found = stats_of(course, 5.0)
    assume(found is not None)

    assert found.min_c - 1e-9 <= found.mean_c <= found.max_c + 1e-9
    assert -1e-9 <= found.share_beyond <= 1 + 1e-9


@given(all_series(most=60), st.integers(1, 8))
def test_thinning_invents_nothing_and_keeps_the_extremes(series, buckets):
    assume(len(series))
    few = thinned(series, buckets)

    assert len(few) <= max(4 * buckets, 0)
    assert set(zip(few.times, few.temps, strict=True)) <= set(
        zip(series.times, series.temps, strict=True)
    )
    assert few.temps.max() == series.temps.max()
    assert few.temps.min() == series.temps.min()


@given(st.integers(0, 4 * 10**15))
def test_microseconds_survive_seconds(us):
    """Up to the year 2096, beyond which no container lives."""
    series = Series.from_micros([us], [4.0])

    assert series.times_us.tolist() == [us]


@given(st.datetimes(datetime(1970, 1, 1), datetime(2096, 1, 1)))
def test_instants_survive_seconds(naive):
    at = naive.replace(tzinfo=UTC)

    assert round(seconds(at) * 1_000_000) == micros(at)
