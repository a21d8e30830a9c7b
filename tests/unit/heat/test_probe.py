"""Readings of the centre, and which films they leave."""

from __future__ import annotations

import math

import pytest

from lidclock.heat.films import FRIDGE, Film
from lidclock.heat.load import load_foods
from lidclock.heat.predict import Body, Course, predict
from lidclock.heat.probe import (
    APART,
    FASTER,
    NARROWED,
    NONE,
    NOTHING,
    SLOWER,
    agrees,
    fit_film,
    turned_back,
)

STEW = load_foods()["beef-stew"].composition
SLAB = Body("slab", (0.05,))
COOL, THAW = Course(60, 4, 6), Course(-18, 4, 0)


def readings(film, *temps, body=SLAB, course=COOL):
    """What a probe shows in a body whose film is known: each temperature's time."""
    targets = [Course(course.start_c, course.medium_c, one) for one in temps]
    return [
        (predict(STEW, body, one, [film]).hours[0], one.target_c) for one in targets
    ]


@pytest.mark.parametrize("film", [6.0, 6.5, 8.0, 9.7, 10.0])
def test_the_film_that_was_is_among_those_left(film):
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, readings(film, 45, 25))

    assert fit.word == NARROWED
    assert fit.film.low <= film * 1.001
    assert fit.film.high >= film / 1.001
    assert fit.film.high - fit.film.low < 0.35 * (FRIDGE.high - FRIDGE.low)


def test_a_narrow_range_is_a_kelvin_wide():
    """What the ends of it bring the centre to is 1 K above and below the reading."""
    ((time, temp_c),) = readings(8, 30)
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, [(time, temp_c)])
    at_ends = [
        predict(STEW, SLAB, Course(60, 4, temp_c + off), [film]).hours[0]
        for film, off in ((fit.film.low, 1), (fit.film.high, -1))
    ]

    assert at_ends == pytest.approx([time, time], rel=0.005)


@pytest.mark.parametrize("course", [COOL, THAW])
def test_the_ends_go_out_to_films_that_do_not_agree_any_more(course):
    """None is lost that might agree: half a percent further in one does."""
    told = readings(8, *((45, 25) if course is COOL else (-12, -6)), course=course)
    left = fit_film(STEW, SLAB, course, FRIDGE, told).film
    ends = [x for x in (left.low, left.high) if x not in (FRIDGE.low, FRIDGE.high)]

    assert ends
    for end in ends:
        inward = end * 1.005 if end == left.low else end / 1.005
        assert not agrees(STEW, SLAB, course, end, told)
        assert agrees(STEW, SLAB, course, inward, told)


def test_near_the_freezing_point_a_reading_tells_nothing():
    """Half way through its thaw the centre is within 1 K for every film."""
    time = predict(STEW, SLAB, THAW, [8]).hours[0] / 2
    fit = fit_film(STEW, SLAB, THAW, FRIDGE, [(time, -1.6)])

    assert (fit.word, fit.film) == (NOTHING, FRIDGE)


def test_food_that_is_ahead_leaves_the_band_as_it_is():
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, readings(25, 45, 25))

    assert (fit.word, fit.film) == (FASTER, FRIDGE)


def test_food_that_lags_has_lower_films():
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, readings(3, 45, 25))

    assert fit.word == SLOWER
    assert fit.film.low <= 3 <= fit.film.high < FRIDGE.low


def test_one_that_lags_and_one_that_does_not_keep_the_later_hours():
    slow, _ = readings(3, 45, 25)
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, [slow, *readings(8, 12)])

    assert fit.word == SLOWER
    assert fit.film.low <= 3
    assert fit.film.high == FRIDGE.high


def test_readings_that_no_one_film_explains_are_told_apart():
    """The first fits 6 and the second 10 W/m²K: each is in the band."""
    (early,), (late,) = readings(6, 40), readings(10, 20)
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, [early, late])

    assert (fit.word, fit.film) == (APART, FRIDGE)


def test_a_reading_above_the_start_is_of_no_film():
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, [(1.0, 75.0)])

    assert fit.word == NONE


def test_a_reading_colder_than_the_air_is_ahead():
    fit = fit_film(STEW, SLAB, COOL, FRIDGE, [(1.0, 1.0)])

    assert fit.word == FASTER


@pytest.mark.parametrize(("film", "is_so"), [(8, True), (6, False), (12, False)])
def test_a_film_that_is_given_is_compared(film, is_so):
    assert agrees(STEW, SLAB, COOL, film, readings(8, 45, 25)) is is_so


@pytest.mark.parametrize(
    ("course", "temps", "turned"),
    [
        (COOL, (30, 33), (30, 33)),
        (COOL, (30, 31.9), None),
        (COOL, (40, 30, 35), (30, 35)),
        (THAW, (-5, -8), (-5, -8)),
        (THAW, (-8, -5), None),
        (THAW, (-5, -6.9), None),
    ],
)
def test_what_goes_the_wrong_way_is_named(course, temps, turned):
    found = turned_back(course, list(enumerate(temps, start=1)))

    assert found == turned if turned else math.isnan(found[0])


def test_a_band_of_a_single_film_is_left_alone():
    one = Film("one", 8, 8, 8)

    assert fit_film(STEW, SLAB, COOL, one, readings(8, 30)).film.low == 8
