"""Food behind air: the exact answer to straight runs of the air's temperature."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lidclock.kinetics.lag import lagged, time_constant_h


def test_after_one_time_constant_63_percent_of_a_step_is_done():
    found = lagged([0, 2], [10, 10], 2.0, start_c=20)

    assert found[1] == pytest.approx(10 + 10 / math.e)


def test_behind_a_steady_rise_it_stays_one_time_constant_late():
    times = np.linspace(0, 40, 400)

    assert lagged(times, 3 * times, 2.0)[-1] == pytest.approx(3 * 38, rel=1e-6)


def test_a_door_left_open_for_a_minute_hardly_moves_the_food():
    times = np.array([0, 1, 1 + 1 / 60, 1 + 2 / 60, 2])
    found = lagged(times, [4, 4, 14, 4, 4], 3.0)

    assert found.max() - 4 < 0.1


def test_without_a_start_the_food_begins_at_the_air():
    assert lagged([0, 1], [7, 9], 1.0)[0] == 7


def test_one_reading_answers_itself():
    assert lagged([3], [7], 1.0, start_c=5).tolist() == [5]


def test_steps_of_very_many_time_constants_overflow_nowhere():
    found = lagged([0, 1, 2, 3], [4, 8, 8, 4], 1e-6, start_c=60)

    assert found.tolist() == pytest.approx([60, 8, 8, 4], abs=1e-5)


def test_a_body_that_does_half_the_way_in_an_hour():
    tau = time_constant_h(1.0)

    assert lagged([0, 1], [0, 0], tau, start_c=10)[1] == pytest.approx(5)


@pytest.mark.parametrize(
    ("times", "air", "tau", "start"),
    [
        ([0, 1], [4], 1, None),
        ([], [], 1, None),
        ([0, 0], [4, 4], 1, None),
        ([0, math.nan], [4, 4], 1, None),
        ([0, 1], [4, math.inf], 1, None),
        ([0, 1], [4, 4], 0, None),
        ([0, 1], [4, 4], math.inf, None),
        ([0, 1], [4, 4], 1, math.nan),
    ],
)
def test_what_means_nothing_is_refused(times, air, tau, start):
    with pytest.raises(ValueError, match=r"need|must"):
        lagged(times, air, tau, start)
