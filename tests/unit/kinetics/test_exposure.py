"""The running integral: what it adds up, what a stay took, what it refuses."""

from __future__ import annotations

import math
import tracemalloc

import numpy as np
import pytest

from lidclock.kinetics.cardinal import Cardinal
from lidclock.kinetics.exposure import Exposure
from lidclock.kinetics.rates import SquareRoot

LAW = SquareRoot(0.1, -10.0)
CARDINAL = Cardinal(2.0, 5.0, 37.0, 45.0)


def built(times, temps, law=LAW, **more):
    return Exposure(np.array(times, float), np.array(temps, float), law, **more)


def test_the_total_is_the_sum_over_the_runs():
    """2 h from 0 to 10 °C at 7/3 an hour, then 3 h at 10 °C at 4."""
    assert built([0, 2, 5], [0, 10, 10]).total == pytest.approx(14 / 3 + 12)


def test_a_stay_inside_one_run_takes_its_part():
    """The first of the two hours, 0 to 5 °C: (1 + 1.5 + 2.25) / 3."""
    exposure = built([0, 2, 5], [0, 10, 10])

    assert exposure.between(0, 1) == pytest.approx(4.75 / 3)
    assert exposure.between(4, 4.5) == pytest.approx(2.0)


def test_stays_of_any_shape_and_order_are_answered_in_theirs():
    exposure = built([0, 2, 5], [10, 10, 10])
    starts = np.array([[4.0, 0.0], [2.0, 1.0]])
    ends = np.array([[5.0, 5.0], [2.0, 3.0]])

    assert exposure.between(starts, ends).tolist() == [
        pytest.approx([4, 20]),
        pytest.approx([0, 8]),
    ]


def test_a_run_that_crosses_tmin_is_cut_there():
    """-15 to 0 °C in 3 h, then down again: 2/9 of an hour's rate 1, twice 3 h."""
    assert built([0, 3, 6], [-15, 0, -15]).total == pytest.approx(6 * 2 / 9)


@pytest.mark.parametrize("law", [LAW, CARDINAL])
@pytest.mark.parametrize("block", [8, 16, 65_536])
def test_blocks_change_nothing(law, block):
    random = np.random.default_rng(3)
    times = np.cumsum(random.uniform(0.01, 1, 1003))
    temps = random.uniform(-20, 50, 1003)
    plain = np.sum(law.mean_rate(temps[:-1], temps[1:]) * np.diff(times))
    exposure = Exposure(times, temps, law, block=block)
    starts = random.uniform(times[0], times[-1], 200)
    ends = random.uniform(starts, times[-1])
    whole = Exposure(times, temps, law)

    assert exposure.total == pytest.approx(plain, rel=1e-13)
    assert exposure.between(starts, ends) == pytest.approx(
        whole.between(starts, ends), rel=1e-11, abs=1e-12
    )


def test_stays_are_found_whatever_the_pace_of_the_readings():
    """Bursts and long pauses: a guess by the mean pace is wrong nearly everywhere."""
    random = np.random.default_rng(4)
    times = np.cumsum(random.choice([1e-4, 1.0, 500.0], 5000))
    temps = random.uniform(0, 20, 5000)
    exposure = Exposure(times, temps, LAW)
    picked = np.sort(random.integers(0, 5000, (300, 2)), axis=1)
    areas = LAW.mean_rate(temps[:-1], temps[1:]) * np.diff(times)
    sums = np.concatenate([[0.0], np.cumsum(areas)])
    found = exposure.between(times[picked[:, 0]], times[picked[:, 1]])

    assert found == pytest.approx(sums[picked[:, 1]] - sums[picked[:, 0]], rel=1e-9)


def test_readings_of_single_precision_are_widened_before_they_are_used():
    times = np.arange(1000.0)
    temps = np.linspace(4, 5, 1000, dtype=np.float32)
    wide = Exposure(times, temps.astype(np.float64), LAW).total

    assert Exposure(times, temps, LAW).total == pytest.approx(wide, rel=1e-14)


def test_a_short_stay_late_in_a_long_record_keeps_its_digits():
    times = np.arange(400_001) / 60
    exposure = Exposure(times, np.full(400_001, 30.0), LAW)
    start = times[-3]

    assert exposure.between(start, times[-1]) == pytest.approx(
        16 * (times[-1] - start), rel=1e-13
    )


def test_the_readings_are_not_copied_and_the_rest_is_small():
    count = 2_000_000
    times, temps = np.arange(count) / 60, np.full(count, 4.0)
    tracemalloc.start()
    exposure = Exposure(times, temps, LAW)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()

    assert exposure.temps_c is temps
    assert peak + temps.nbytes + times.nbytes < 4 * temps.nbytes


@pytest.mark.parametrize("law", [LAW, CARDINAL])
@pytest.mark.parametrize(
    ("times", "temps"),
    [
        ([0, 1, 1], [4, 4, 4]),
        ([0, 2, 1], [4, 4, 4]),
        ([0, 1, math.nan], [4, 4, 4]),
        ([0, 1, math.inf], [4, 4, 4]),
        ([-math.inf, 0, 1], [4, 4, 4]),
        ([0, 1, 2], [4, math.nan, 4]),
        ([0, 1, 2], [4, math.inf, 4]),
        ([0, 1, 2], [4, -math.inf, 4]),
        ([0], [4]),
        ([0, 1], [4, 4, 4]),
        ([[0, 1]], [[4, 4]]),
    ],
)
@pytest.mark.filterwarnings("ignore:invalid value")
def test_readings_that_are_not_whole_are_refused(law, times, temps):
    with pytest.raises(ValueError, match=r"need|rise|no number"):
        built(times, temps, law)


@pytest.mark.parametrize(
    ("start", "end", "why"),
    [
        (-1, 1, "beyond the readings"),
        (0, 6, "beyond the readings"),
        (2, 1, "before it begins"),
        (math.nan, 1, "before it begins"),
    ],
)
def test_a_stay_that_was_not_measured_is_refused(start, end, why):
    with pytest.raises(ValueError, match=why):
        built([0, 5], [4, 4]).between(start, end)


@pytest.mark.parametrize("block", [0, 7, 12, -8])
def test_a_block_that_is_no_multiple_of_a_row_is_refused(block):
    with pytest.raises(ValueError, match="multiple of 8"):
        built([0, 5], [4, 4], block=block)


def test_no_stay_at_all_is_no_exposure():
    assert built([0, 5], [4, 4]).between([], []).tolist() == []
