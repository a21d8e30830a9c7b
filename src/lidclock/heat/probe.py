"""What readings of the centre leave of a band of film coefficients.

The film is what nobody knows. A film agrees with a reading if it brings the centre to
within a probe's tolerance of it at its time. Where none in the band agrees with all of
them nothing is narrowed, and what errs errs towards later.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from lidclock.heat.curves import Floats
from lidclock.heat.films import Film
from lidclock.heat.predict import Body, Course
from lidclock.heat.properties import Composition
from lidclock.heat.watch import centre_temps

# A food thermometer in °C is right to 1 °C: FDA Food Code, 4-203.11.
PROBE_K = 1.0
TOLERANCE_SAYS = "FDA Food Code, 4-203.11"
# Films that are tried within the band, and below it where the food lags behind the
# band: down to what some centimetres of foam leave of still air. Our choice.
_WITHIN, _BELOW = 5, 13
_SLOWEST = 8.0
# Where agreement ends between two films, so many steps between them are tried, twice:
# to within 0.4 %. A line between two films would not do: at the end of thawing the
# centre stands still in one and has run away in the next.
_STEPS, _CLOSER = 8, 2

NARROWED, NOTHING = "narrowed", "nothing"
SLOWER, FASTER, APART, NONE = "slower", "faster", "apart", "none"

Reading = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Fit:
    """What the readings say of the film: in a word, and the films that are left.

    `narrowed`: fewer films agree with all of them. `nothing`: all of the band do.
    `faster`: the food is ahead of every film; the band stays. `apart`: no one film
    agrees with all, though each has some; the band stays. `slower`: it lags behind the
    whole band, and lower films stand in for it. `none`: it lags behind any film, so no
    hours can be told.
    """

    word: str
    film: Film


def fit_film(
    food: Composition,
    body: Body,
    course: Course,
    film: Film,
    readings: Sequence[Reading],
) -> Fit:
    """The films of the band that agree with the readings of the centre.

    Parameters
    ----------
    readings : hours since the start and °C, each later than the one before

    Returns
    -------
    Fit
    """
    within = np.geomspace(film.low, film.high, _WITHIN)
    ranges = _ranges(food, body, course, within, readings)
    low = max(one.low for one in ranges)
    high = min(one.high for one in ranges)
    if any(one.is_slower for one in ranges):
        return _slower(food, body, course, film, readings)
    if any(one.is_faster for one in ranges):
        return Fit(FASTER, film)
    if low > high:
        return Fit(APART, film)
    if (low, high) == (film.low, film.high):
        return Fit(NOTHING, film)
    middle = float(np.sqrt(low * high))
    return Fit(NARROWED, Film(f"{film.name}, narrowed by readings", low, middle, high))


def agrees(
    food: Composition,
    body: Body,
    course: Course,
    film_w_m2k: float,
    readings: Sequence[Reading],
) -> bool:
    """Whether one film brings the centre to within the tolerance of every reading."""
    times = [time for time, _ in readings]
    told = centre_temps(food, body, course, [film_w_m2k], times)[0]
    return all(
        abs(told_c - read_c) <= PROBE_K
        for told_c, (_, read_c) in zip(told, readings, strict=True)
    )


def turned_back(course: Course, readings: Sequence[Reading]) -> tuple[float, float]:
    """The first two readings that go the wrong way by more than two probes differ.

    Both NaN where none do.
    """
    sign = 1.0 if course.medium_c > course.start_c else -1.0
    for (_, first), (_, second) in pairwise(readings):
        if sign * (first - second) > 2 * PROBE_K:
            return first, second
    return float("nan"), float("nan")


@dataclass(frozen=True, slots=True)
class _Range:
    """The films that agree with one reading, or on which side of all it lies."""

    low: float
    high: float
    is_slower: bool = False
    is_faster: bool = False


def _ranges(
    food: Composition,
    body: Body,
    course: Course,
    films: Floats,
    readings: Sequence[Reading],
) -> list[_Range]:
    for _ in range(_CLOSER):
        between = [
            np.geomspace(films[end - 1], films[end], _STEPS + 1)
            for told, read in _seen(food, body, course, films, readings)
            for end in _ends(told, read)
            if 0 < end < len(films)
        ]
        if not between:
            break
        films = np.unique(np.concatenate([films, *between]))
    return [
        _range(films, told, read)
        for told, read in _seen(food, body, course, films, readings)
    ]


def _seen(
    food: Composition,
    body: Body,
    course: Course,
    films: Floats,
    readings: Sequence[Reading],
) -> list[tuple[Floats, float]]:
    """What each film tells for each reading, and the reading, as if the food warmed.

    A better film is then always ahead, but for the solver's last digits.
    """
    times = [time for time, _ in readings]
    temps = centre_temps(food, body, course, films.tolist(), times)
    sign = 1.0 if course.medium_c > course.start_c else -1.0
    return [
        (np.maximum.accumulate(sign * told), sign * read_c)
        for told, (_, read_c) in zip(temps.T, readings, strict=True)
    ]


def _ends(told: Floats, read: float) -> tuple[int, int]:
    """The first film that is not behind the reading, and the first that is ahead."""
    first = np.searchsorted(told, read - PROBE_K, side="left")
    beyond = np.searchsorted(told, read + PROBE_K, side="right")
    return int(first), int(beyond)


def _range(films: Floats, told: Floats, read: float) -> _Range:
    """Out to the films that do not agree any more, so that none is lost that might."""
    first, beyond = _ends(told, read)
    if beyond == 0:
        return _Range(films[0], films[0], is_slower=True)
    if first == len(films):
        return _Range(films[-1], films[-1], is_faster=True)
    low, high = films[max(0, first - 1)], films[min(beyond, len(films) - 1)]
    return _Range(float(low), float(high))


def _slower(
    food: Composition,
    body: Body,
    course: Course,
    film: Film,
    readings: Sequence[Reading],
) -> Fit:
    """Below the band: the films that agree with all, or with the slowest reading.

    Where no one film agrees with all, the better films of the band stay in it as well.
    """
    below = np.geomspace(film.low / _SLOWEST, film.high, _BELOW)
    ranges = _ranges(food, body, course, below, readings)
    if any(one.is_slower for one in ranges):
        return Fit(NONE, film)
    name = f"{film.name}, lowered by readings"
    low = max(one.low for one in ranges)
    high = min(one.high for one in ranges)
    if low <= high:
        return Fit(SLOWER, Film(name, low, float(np.sqrt(low * high)), high))
    slowest = min(one.low for one in ranges if one.high < film.low)
    return Fit(SLOWER, Film(name, slowest, film.low, film.high))
