"""Readings of a known truth: the prediction closes around it and never leaves it."""

from __future__ import annotations

import json

from hypothesis import assume, example, given, settings
from hypothesis import strategies as st

from lidclock.app.ready import ready
from lidclock.errors import InputError
from lidclock.heat.films import film_in_air
from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict

SOLVED = 40  # each runs a solver some times over
# Each way with temperatures that a probe may show on it, and where it ends.
WAYS = (
    ((60.0, 4.0), (12.0, 50.0), 8.0),
    ((-18.0, 4.0), (-14.0, -1.0), 0.0),
    ((-18.0, 21.0), (-14.0, -1.0), 0.0),
    ((8.0, -18.0), (-14.0, 6.0), -15.0),
)
BODIES = (
    ("slab", [30]),
    ("slab", [70]),
    ("sphere", [80]),
    ("brick", [40, 100, 100]),
    ("cylinder", [60, None]),
)
SHARES = st.floats(0, 1, allow_nan=False)
# At the end of thawing: a line between two films left 9.39 of this one's 9.5, and told
# 6.01 h as the soonest.
THAWED = (
    {
        "food": "beef-stew",
        "shape": "slab",
        "size_mm": [30],
        "start_c": -18.0,
        "medium_c": 21.0,
        "h_w_m2k": None,
        "until": {"where": "centre", "temp_c": 0.0},
    },
    [(0.17776961244933914, -14.0), (5.915449698048675, -1.0)],
    5.943216999876065,
    9.5,
)


@st.composite
def truths(draw):
    """A question, two exact readings on the way, and the hours that are true."""
    food = draw(st.sampled_from(sorted(load_foods())))
    shape, sizes = draw(st.sampled_from(BODIES))
    (start, medium), (low, high), target = draw(st.sampled_from(WAYS))
    parts = load_foods()[food].composition
    assume(parts.freezing_c > -4)
    body = Body(shape, tuple(size and size / 1000 for size in sizes))
    band = film_in_air(medium)
    film = band.low + draw(SHARES) * (band.high - band.low)
    seen = sorted(low + draw(SHARES) * (high - low) for _ in range(2))
    seen = seen if medium > start else seen[::-1]
    hours = [
        predict(parts, body, Course(start, medium, one), [film]).hours[0]
        for one in (*seen, target)
    ]
    assume(hours[0] < hours[1])
    question = {
        "food": food,
        "shape": shape,
        "size_mm": sizes,
        "start_c": start,
        "medium_c": medium,
        "h_w_m2k": None,
        "until": {"where": "centre", "temp_c": target},
    }
    return question, list(zip(hours[:2], seen, strict=True)), hours[2], film


@settings(max_examples=SOLVED)
@given(truths(), st.floats(-0.7, 0.7), st.floats(-0.7, 0.7))
@example(THAWED, 0.0, 0.0)
def test_the_truth_is_within_what_readings_leave(truth, first, second):
    """Also where the probe is off by up to 0.7 K of the 1 K that it is allowed."""
    question, readings, hours, film = truth
    noise = (first, second)
    read = [[at, temp + off] for (at, temp), off in zip(readings, noise, strict=True)]
    answer = ready(json.dumps({**question, "readings": read}))
    told, fit = answer["hours"], answer["readings"]["fit"]

    assert fit in ("narrowed", "nothing")
    assert told["low"] <= hours * 1.005
    assert told["high"] >= hours / 1.005
    before = answer["readings"]["hours_before"]
    assert told["low"] >= before["low"] / 1.005
    assert told["high"] <= before["high"] * 1.005
    assert answer["film_w_m2k"]["low"] <= film * 1.005
    assert answer["film_w_m2k"]["high"] >= film / 1.005


@settings(max_examples=SOLVED)
@given(st.floats(6, 10), st.floats(20, 45))
def test_two_readings_of_cooling_narrow_the_band(film, temp_c):
    """A tub that cools, read while it is far from its air: to less than half."""
    food = load_foods()["beef-stew"].composition
    read = [
        [predict(food, Body("slab", (0.05,)), Course(60, 4, one), [film]).hours[0], one]
        for one in (temp_c + 5, temp_c)
    ]
    question = {
        "food": "beef-stew",
        "shape": "slab",
        "size_mm": [50],
        "start_c": 60,
        "medium_c": 4,
        "h_w_m2k": None,
        "until": {"where": "centre", "temp_c": 8},
    }
    answer = ready(json.dumps({**question, "readings": read}))
    told, before = answer["hours"], answer["readings"]["hours_before"]

    assert answer["readings"]["fit"] == "narrowed"
    assert told["high"] - told["low"] < 0.5 * (before["high"] - before["low"])


@settings(max_examples=SOLVED)
@given(
    st.lists(
        st.tuples(st.floats(0, 30), st.floats(-40, 90)),
        min_size=1,
        max_size=3,
        unique_by=lambda one: round(one[0], 3),
    ),
    st.sampled_from(WAYS),
)
def test_readings_that_do_not_fit_never_make_it_sooner(readings, way):
    (start, medium), _, target = way
    question = {
        "food": "chili-beans",
        "shape": "slab",
        "size_mm": [40],
        "start_c": start,
        "medium_c": medium,
        "h_w_m2k": None,
        "until": {"where": "centre", "temp_c": target},
    }
    without = ready(json.dumps(question))["hours"]
    answer = ready(json.dumps({**question, "readings": sorted(map(list, readings))}))
    told, fit = answer["hours"], answer["readings"]["fit"]

    assert (told is None) == (fit == "none")
    if fit == "narrowed":
        return
    assert answer["readings"]["says"] in answer["cautions"]
    for end in ("low", "mid", "high"):
        assert told is None or told[end] >= without[end] / 1.002


JUNK = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=5),
    lambda inner: st.lists(inner, max_size=3),
    max_leaves=8,
)


@given(JUNK)
def test_whatever_readings_are_given_is_answered_or_refused(readings):
    question = {
        "food": "beef-stew",
        "shape": "brick",
        "size_mm": [40, 90, 90],
        "start_c": 60,
        "medium_c": 4,
        "h_w_m2k": None,
        "until": {"where": "centre", "temp_c": 8},
        "readings": readings,
    }
    told, line = None, "readings"
    try:
        told = ready(json.dumps(question))["hours"]
    except InputError as error:
        line = str(error)

    assert "readings" in line
    assert told is None or told["low"] > 0
