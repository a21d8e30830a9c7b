"""Which method a question gets, and what each leaves as it was."""

import pytest

from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, directions, predict
from lidclock.heat.second import second_opinion
from lidclock.heat.series import seconds_to

STEW = load_foods()["beef-stew"].composition
BRICK = Body("brick", (0.05, 0.1, 0.12))


@pytest.mark.parametrize("sizes", [(0.08, 0.12), (0.08, 0.05)])
def test_a_cylinder_freezes_sooner_than_one_without_ends(sizes):
    course = Course(5, -18, -15)
    ended = predict(STEW, Body("cylinder", sizes), course, [8]).hours[0]
    endless = predict(STEW, Body("cylinder", (0.08, None)), course, [8]).hours[0]

    assert endless / 2 < ended < endless


def test_a_long_cylinder_is_an_endless_one():
    course = Course(5, -18, -15)
    long = predict(STEW, Body("cylinder", (0.05, 2.0)), course, [8]).hours[0]
    endless = predict(STEW, Body("cylinder", (0.05, None)), course, [8]).hours[0]

    assert long == pytest.approx(endless, rel=0.02)


def test_a_wide_brick_is_a_slab():
    course = Course(5, -18, -15)
    wide = predict(STEW, Body("brick", (0.03, 2.0, 2.0)), course, [8]).hours[0]
    slab = predict(STEW, Body("slab", (0.03,)), course, [8]).hours[0]

    assert wide == pytest.approx(slab, rel=0.04)
    assert wide < slab


def test_a_centre_that_has_yet_to_freeze_lags_as_by_series():
    """Hot food in a freezer, a good film, hardly begun: a factor would be quicker."""
    course = Course(60, -18, 57)
    told = predict(STEW, BRICK, course, [200]).hours[0]
    series = seconds_to(
        directions(BRICK),
        (57 + 18) / (60 + 18),
        conductivity_w_mk=STEW.conductivity_w_mk(58.5),
        heat_capacity_j_m3k=STEW.density_kg_m3() * STEW.heat_kj_kg(57, 60) * 1000 / 3,
        film_w_m2k=200,
    )
    slab = predict(STEW, Body("slab", (0.05,)), course, [200])
    factor = predict(STEW, BRICK, course, [200]).factors[0]

    assert 3600 * told == pytest.approx(series, rel=0.01)
    assert told > 1.1 * slab.hours[0] / factor


def test_the_mean_is_not_for_formulas_of_the_centre():
    centre, mean = (Course(5, -18, -15, where) for where in ("centre", "mean"))

    assert second_opinion(STEW, BRICK, centre, 8).method == "pham-1986"
    assert second_opinion(STEW, BRICK, mean, 8) is None
    assert second_opinion(STEW, BRICK, Course(60, 3, 5), 8) is None
    thaw = second_opinion(STEW, BRICK, Course(-18, 4, 0), 8)
    assert thaw.method == "cleland-1986"
    assert thaw.hours == pytest.approx(
        predict(STEW, BRICK, Course(-18, 4, 0), [8]).hours[0], rel=0.1
    )
