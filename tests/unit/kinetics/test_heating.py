"""A recorded heating: holds, crossings, gaps and what they are worth, by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import quad

from lidclock.errors import GuidanceError
from lidclock.kinetics.heating import Heating, heating_of, held, lethality
from lidclock.kinetics.lethality import equivalent_minutes
from lidclock.kinetics.processes import (
    Process,
    load_processes,
    read_processes,
)
from lidclock.kinetics.processes import (
    given as given_process,
)

LIBRARY = load_processes()
PLAIN = given_process(70.0, 10.0, 2.0)


def trace(*points, longest=math.inf):
    minutes, temps = (np.array(x, dtype=float) for x in zip(*points, strict=True))
    return heating_of(minutes, temps, longest)


# Up by 10 °C a minute, three minutes at 80 °C, down by 20 °C a minute.
COOKED = trace((0, 50), (3, 80), (6, 80), (8, 40))


def test_a_hold_is_cut_where_the_lines_cross():
    """70 °C is passed at 2 min and left 0.5 min after minute 6."""
    found = held(COOKED, 70)

    assert (found.sure, found.possible) == pytest.approx((4.5, 4.5))
    assert found.since == pytest.approx(2)


def test_touching_a_temperature_is_a_hold_of_no_length():
    found = held(trace((0, 50), (1, 70), (2, 50)), 70)

    assert (found.sure, found.since) == (0, 1)


def test_what_was_never_that_hot_has_no_beginning():
    found = held(COOKED, 90)

    assert (found.sure, found.possible, found.since) == (0, 0, None)


def test_the_longest_of_two_holds_counts():
    found = held(trace((0, 60), (1, 80), (2, 60), (3, 80), (5, 80), (6, 60)), 70)

    assert found.sure == pytest.approx(3)
    assert found.since == pytest.approx(2.5)


def test_a_gap_breaks_a_hold_and_may_hide_one():
    found = held(trace((0, 60), (1, 80), (2, 80), (9, 80), (10, 80), (11, 60),
                       longest=3), 80)  # fmt: skip

    assert (found.sure, found.possible, found.since) == (1, 9, 1)


@pytest.mark.parametrize("points", [[(0, 80), (1, 60)], [(0, 60), (1, 80)]])
def test_before_the_first_and_after_the_last_hot_reading_nobody_knows(points):
    assert held(trace(*points), 70).possible == math.inf


def test_when_it_was_first_hot_and_last_cold():
    assert COOKED.first_at(65) == pytest.approx(1.5)
    assert COOKED.first_at(81) is None
    assert COOKED.last_cold(55, before=4) == pytest.approx(0.5)
    assert COOKED.last_cold(45, before=4) is None


def test_worth_by_hand():
    """z 10: a rise from 70 to 80 in 1 min is worth (10 - 1) / ln 10 min at 70 °C; from
    50 to 70 in 2 min (1 - 0.01) / ln 10; 3 min at 80 are 30; 80 down to 40 in 2 min are
    half of (10 - 0.001) / ln 10."""
    found = lethality(COOKED, PLAIN)
    rise = (10 - 0.01) / math.log(10)
    fall = (10 - 0.001) / math.log(10) / 2

    assert found.whole == pytest.approx(rise + 30 + fall)
    assert found.logs(found.whole) == pytest.approx(found.whole / 2)


def test_the_slow_way_up_is_left_out_until_within_a_degree_of_the_warmest():
    """79 °C comes at 2.9 min; until then (10^0.9 - 0.01) / ln 10."""
    found = lethality(COOKED, PLAIN)

    assert found.reached == pytest.approx(2.9)
    assert found.whole - found.after_come_up == pytest.approx(
        (10**0.9 - 0.01) / math.log(10)
    )


def test_beyond_its_figures_a_process_credits_nothing_more():
    """Between 60 and 75 °C: colder nothing, 80 °C as 75."""
    narrow = Process("x", "x", PLAIN.source, 70.0, 10.0, 2.0, valid_c=(60.0, 75.0))
    found = lethality(trace((0, 59.9), (10, 59.9)), narrow)
    hot = lethality(trace((0, 80), (10, 80)), narrow)

    assert (found.whole, found.is_beyond) == (0, False)
    assert hot.whole == pytest.approx(10 * 10**0.5)
    assert hot.is_beyond


def test_gaps_are_worth_nothing():
    found = lethality(trace((0, 70), (1, 70), (9, 70), (10, 70), longest=3), PLAIN)

    assert found.whole == pytest.approx(2)
    assert found.has_gaps


def test_where_nobody_gave_a_d_there_are_no_logs():
    found = lethality(COOKED, given_process(70, 10, None))

    assert found.logs(found.whole) is None


profiles = st.lists(st.floats(20, 95), min_size=2, max_size=6).map(
    lambda temps: trace(*((float(n), t) for n, t in enumerate(temps)))
)


@given(profiles, st.sampled_from(sorted(LIBRARY)))
@settings(max_examples=settings.default.max_examples // 4)
def test_worth_is_what_quadrature_finds_within_the_range(heating, name):
    process = LIBRARY[name]
    low, high = process.valid_c

    def rate(at, first):
        share = at - first
        a, b = heating.temps_c[first : first + 2]
        temp = a + (b - a) * share
        if temp < low:
            return 0.0
        return 10 ** ((min(temp, high) - process.reference_c) / process.z_c)

    total = 0.0
    for n in range(heating.minutes.size - 1):
        a, b = heating.temps_c[n : n + 2]
        marks = [
            n + (x - a) / (b - a) for x in (low, high) if min(a, b) < x < max(a, b)
        ]
        total += quad(rate, n, n + 1, args=(n,), points=marks or None, limit=200)[0]

    assert lethality(heating, process).whole == pytest.approx(total, rel=1e-6, abs=1e-9)


@given(profiles, st.floats(4, 20))
def test_without_a_range_it_is_the_plain_integral(heating, z_c):
    found = lethality(heating, given_process(70, z_c, None))
    plain = equivalent_minutes(heating.minutes, heating.temps_c, ref_c=70, z_c=z_c)

    assert found.whole == pytest.approx(plain, rel=1e-9)
    assert 0 <= found.after_come_up <= found.whole * (1 + 1e-12)
    assert found.so_far[-1] == found.whole


@given(profiles, st.floats(20, 95), st.floats(0.1, 20))
def test_hotter_food_never_holds_shorter(heating, level, more):
    hotter = Heating(heating.minutes, heating.temps_c + more, heating.is_gap)

    assert held(hotter, level).sure >= held(heating, level).sure - 1e-9


@pytest.mark.parametrize(
    ("minutes", "temps"),
    [([0.0], [1.0]), ([0.0, 1.0], [1.0]), ([1.0, 0.0], [1.0, 1.0]),
     ([0.0, 1.0], [1.0, math.nan])],
)  # fmt: skip
def test_readings_that_are_none_are_refused(minutes, temps):
    with pytest.raises(ValueError, match=r"need|rise|numbers"):
        heating_of(np.array(minutes), np.array(temps))


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("[[", "not TOML"),
        ("[source]\n[[process]]\nid = 'x'", "lacking or unknown: logs"),
    ],
)
def test_a_malformed_file_of_processes_is_refused(text, words):
    with pytest.raises(GuidanceError, match=words):
        read_processes(text)
