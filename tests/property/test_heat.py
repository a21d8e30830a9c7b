"""Heat over generated food, shapes and courses: what must hold whatever they are.

Where the solver's own error could turn an order round, 1 % of it is allowed. What
changes the method is left out: a medium across the freezing point, a cylinder that
becomes a disc.
"""

from __future__ import annotations

import json

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from lidclock.app.ready import ready
from lidclock.errors import InputError
from lidclock.heat.bodies import Case
from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict
from lidclock.heat.properties import curve_from
from lidclock.heat.solver import time_to

SOLVED = 40  # each runs a solver some times over
FOODS = [food.composition for food in load_foods().values()]
SLACK = 1.01
# The far rim of a wide disc needs more terms of its series than are summed: in the
# first half minute a bigger one may come out some seconds sooner.
FIRST_H = 30 / 3600


def floats(low, high):
    return st.floats(low, high, allow_nan=False)


foods = st.sampled_from(FOODS)
sizes = floats(0.008, 0.2)
films = floats(3, 400)


@st.composite
def bodies(draw):
    shape = draw(st.sampled_from(["slab", "cylinder", "endless", "sphere", "brick"]))
    counts = {"cylinder": 2, "brick": 3}
    read = tuple(draw(sizes) for _ in range(counts.get(shape, 1)))
    if shape == "endless":
        return Body("cylinder", (*read, None))
    return Body(shape, read)


@st.composite
def courses(draw):
    """Freezing, thawing, cooling or warming, to somewhere between."""
    start, medium = draw(floats(-35, 80)), draw(floats(-35, 80))
    assume(abs(start - medium) > 2)
    share = draw(floats(0.05, 0.95))
    where = draw(st.sampled_from(["centre", "mean"]))
    return Course(start, medium, start + share * (medium - start), where)


def hours(food, body, course, film):
    return predict(food, body, course, [film]).hours[0]


@settings(max_examples=SOLVED)
@given(foods, bodies(), courses(), films, floats(1.0, 5.0))
def test_a_better_film_is_never_slower(food, body, course, film, factor):
    slow, quick = predict(food, body, course, [film, film * factor]).hours

    assert quick <= slow * SLACK


@settings(max_examples=SOLVED)
@given(foods, bodies(), courses(), films, floats(0.5, 10))
def test_a_colder_or_warmer_medium_is_never_slower(food, body, course, film, more):
    farther = course.medium_c + (more if course.medium_c > course.start_c else -more)
    assume(-40 < farther < 120)
    # A medium that crosses the freezing point changes the method as well.
    crossed = (course.medium_c < food.freezing_c) != (farther < food.freezing_c)
    assume(body.is_simple or not crossed)
    beyond = Course(course.start_c, farther, course.target_c, course.where)

    assert hours(food, body, beyond, film) <= hours(food, body, course, film) * SLACK


@settings(max_examples=SOLVED)
@given(foods, bodies(), courses(), films, st.tuples(st.integers(0, 2), floats(1, 2)))
def test_a_bigger_body_is_never_quicker(food, body, course, film, growth):
    which, factor = growth
    index = which % len(body.sizes_m)
    assume(body.sizes_m[index] is not None)
    grown = list(body.sizes_m)
    grown[index] *= factor
    bigger = Body(body.shape, tuple(grown))
    # From one formula to the other they are some hundredths apart.
    assume(body.is_disc == bigger.is_disc)

    later = hours(food, bigger, course, film) * SLACK + FIRST_H
    assert hours(food, body, course, film) <= later


@settings(max_examples=SOLVED)
@given(foods, bodies(), courses(), films, floats(0.5, 10))
def test_a_start_farther_off_is_never_quicker(food, body, course, film, more):
    """The food first has to come to where the other one starts."""
    start = course.start_c + (more if course.start_c > course.medium_c else -more)
    assume(-40 < start < 120)
    crossed = (course.start_c < food.freezing_c) != (start < food.freezing_c)
    assume(body.is_simple or not crossed)
    farther = Course(start, course.medium_c, course.target_c, course.where)

    assert hours(food, body, course, film) <= hours(food, body, farther, film) * SLACK


@settings(max_examples=SOLVED)
@given(foods, bodies(), courses(), films, floats(0.05, 0.95))
def test_a_nearer_target_comes_first(food, body, course, film, share):
    part = course.start_c + share * (course.target_c - course.start_c)
    nearer = Course(course.start_c, course.medium_c, part, course.where)

    assert hours(food, body, nearer, film) <= hours(food, body, course, film) * SLACK


@settings(max_examples=SOLVED)
@given(foods, st.sampled_from(["slab", "cylinder", "sphere"]), sizes, courses(), films)
def test_heat_in_is_heat_stored(food, shape, size, course, film):
    case = Case(shape, size / 2, course.start_c, course.medium_c, film)
    run = time_to(curve_from(food), [case], course.target_c, where=course.where)

    assert run.heat_in_j_m3 == pytest.approx(run.stored_j_m3, rel=1e-6)
    assert run.steps < 1000


JUNK = st.recursive(
    st.none() | st.booleans() | st.floats() | st.integers() | st.text(max_size=8),
    lambda inner: (
        st.lists(inner, max_size=4)
        | st.dictionaries(st.sampled_from(["where", "temp_c", "water", "x"]), inner)
    ),
    max_leaves=6,
)
PLAIN = {
    "food": "beef-stew",
    "shape": "slab",
    "size_mm": [30],
    "start_c": 5,
    "medium_c": -18,
    "h_w_m2k": 8,
    "until": {"where": "centre", "temp_c": -15},
}


@given(st.dictionaries(st.sampled_from([*PLAIN, "other"]), JUNK, min_size=1))
def test_whatever_is_asked_is_answered_or_refused(changes):
    text = json.dumps({**PLAIN, **changes})
    try:
        answer = ready(text)
    except InputError as error:
        answer = {"hours": None, "cautions": [str(error)]}

    assert all(answer["cautions"])
    assert answer["hours"] is None or answer["hours"]["low"] >= 0
