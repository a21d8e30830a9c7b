"""What a heating was worth, on straight runs, with gaps and without."""

from __future__ import annotations

import math

import pytest

from lidclock.kinetics.lethality import equivalent_minutes

REF = {"ref_c": 70.0, "z_c": 10.0}


def test_a_hold_at_the_reference_is_worth_its_minutes():
    assert equivalent_minutes([0, 2], [70, 70], **REF) == pytest.approx(2)


def test_one_z_above_is_worth_ten_times_as_much():
    assert equivalent_minutes([0, 2], [80, 80], **REF) == pytest.approx(20)


def test_a_straight_rise_is_worth_less_than_a_trapezoid():
    """From 1 to 10 in a minute: 9 / ln 10 = 3.909; a trapezoid would say 5.5."""
    found = equivalent_minutes([0, 1], [70, 80], **REF)

    assert found == pytest.approx(9 / math.log(10))


def test_a_gap_is_not_evidence_of_heating():
    assert math.isnan(equivalent_minutes([0, 1, 2], [70, math.nan, 70], **REF))


def test_runs_longer_than_allowed_count_nothing():
    found = equivalent_minutes([0, 1, 31], [70, 70, 70], **REF, longest_gap_min=5)

    assert found == pytest.approx(1)


@pytest.mark.parametrize(
    ("times", "temps", "more"),
    [
        ([0], [70], {}),
        ([0, 1], [70, 70, 70], {}),
        ([0, 0], [70, 70], {}),
        ([0, math.nan], [70, 70], {}),
        ([0, 1], [70, 70], {"z_c": 0}),
        ([0, 1], [70, 70], {"ref_c": math.nan}),
        ([0, 1], [70, 70], {"longest_gap_min": 0}),
    ],
)
def test_what_means_nothing_is_refused(times, temps, more):
    with pytest.raises(ValueError, match=r"need|must"):
        equivalent_minutes(times, temps, **{**REF, **more})
