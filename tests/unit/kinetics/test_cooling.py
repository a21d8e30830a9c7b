"""A forecast for a pan: its band, what it drops, and when it says nothing."""

from __future__ import annotations

import math

import numpy as np
import pytest

from lidclock.kinetics.cooling import (
    CAUTIONS,
    CoolingBand,
    NoForecast,
    forecast,
    needed_rate_per_h,
    settling_h,
)

HOURS = np.linspace(0, 1, 7)


def pan(medium=3.0, rate=0.6, hours=HOURS, start=57.2):
    return medium + (start - medium) * np.exp(-rate * np.asarray(hours))


def ask(temps, hours=HOURS, **more):
    given = {"target_c": 21.1, "medium_c": 3.0, "settle_h": 0.0, **more}
    return forecast(hours, temps, **given)


def test_a_pan_that_follows_the_law_is_foretold_when_it_gets_there():
    found = ask(pan(), medium_spread_c=0)
    truth = math.log((57.2 - 3) / (21.1 - 3)) / 0.6

    assert isinstance(found, CoolingBand)
    assert found.mid_h == pytest.approx(truth, rel=1e-4)
    assert found.low_h < truth < found.high_h
    assert found.rate_per_h == pytest.approx(0.6, rel=1e-9)


def test_more_noise_and_a_less_certain_place_widen_the_band():
    widths = [
        found.high_h - found.low_h
        for found in (
            ask(pan(), target_c=5, medium_spread_c=0),
            ask(pan(), target_c=5, medium_spread_c=0, noise_c=1.5),
            ask(pan(), target_c=5, medium_spread_c=0.7),
        )
    ]

    assert widths[0] < widths[1]
    assert widths[0] < widths[2]


def test_noise_below_half_a_degree_is_not_believed():
    assert ask(pan(), noise_c=0.01) == ask(pan(), noise_c=0.5)


def test_readings_that_scatter_more_than_their_noise_widen_the_band():
    smooth, rough = pan(), pan()
    rough[1::2] += 3
    narrow, wide = ask(smooth), ask(rough)

    assert wide.high_h - wide.low_h > 1.5 * (narrow.high_h - narrow.low_h)


def test_the_first_readings_are_dropped_and_counted():
    hours = np.linspace(0, 2, 13)
    found = ask(pan(hours=hours), hours, settle_h=0.5, target_c=5)

    assert (found.used, found.dropped) == (10, 3)


def test_a_deeper_pan_takes_longer_to_settle():
    """heat: 51 mm 15 min, 76 mm 33 min, 100 mm 57 min."""
    found = [settling_h(depth) * 60 for depth in (0.051, 0.076, 0.100)]

    assert [round(one) for one in found] == [15, 33, 57]


@pytest.mark.parametrize("medium", [5.0, 5.1, 8.0])
def test_a_place_at_the_limit_is_refused_whatever_the_readings(medium):
    found = ask(pan(medium=medium), medium_c=medium, target_c=5.0)

    assert isinstance(found, NoForecast)
    assert found.code == "medium-at-limit"
    assert "colder place" in found.says


def test_a_place_just_below_the_limit_may_never_get_there():
    found = ask(pan(medium=4.5), medium_c=4.5, target_c=5.0)

    assert found.high_h == math.inf


def test_too_few_readings_say_so():
    assert ask(pan(hours=HOURS[:3]), HOURS[:3]).code == "too-few-readings"


def test_readings_within_a_few_minutes_say_so():
    hours = np.linspace(0, 0.1, 7)

    assert ask(pan(hours=hours), hours).code == "too-few-readings"


def test_a_pan_that_warms_is_not_cooling():
    assert ask(np.linspace(40, 50, 7)).code == "not-cooling"


def test_a_pan_that_is_there_already_says_so():
    assert ask(pan(), target_c=45.0).code == "reached"


def test_what_is_not_reached_yet_is_never_foretold_for_the_past():
    found = ask(pan(), target_c=float(pan()[-1]) - 0.01)

    assert found.low_h == HOURS[-1]


def test_the_cautions_forbid_to_pass_early():
    assert "never passes a pan early" in CAUTIONS[0]


@pytest.mark.parametrize(
    ("start", "target", "medium"), [(57, 5, 5), (57, 5, 6), (5, 57, 3), (21, 21, 3)]
)
def test_no_rate_reaches_what_is_out_of_reach(start, target, medium):
    with pytest.raises(ValueError, match="never reached"):
        needed_rate_per_h(start, target, 2, medium)


@pytest.mark.parametrize(
    ("hours", "temps", "more"),
    [
        ([0, 1], [50], {}),
        ([0, 0], [50, 40], {}),
        ([0, 1], [50, math.nan], {}),
        (HOURS, pan(), {"target_c": math.nan}),
        (HOURS, pan(), {"settle_h": -1}),
        (HOURS, pan(), {"noise_c": math.nan}),
    ],
)
def test_what_means_nothing_is_refused(hours, temps, more):
    with pytest.raises(ValueError, match=r"need|must"):
        ask(temps, hours, **more)
